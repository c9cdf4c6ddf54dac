// SPDX-License-Identifier: Apache-2.0
// The practice: its own figures over past cases.
#include <array>
#include <charconv>

#include "casebook/derive.h"
#include "front/server/answer.h"
#include "front/server/routes.h"
#include "front/server/target.h"
#include "practice/audit/audit.h"
#include "practice/registry/plan_row.h"
#include "practice/registry/registry.h"
#include "practice/similar/similar.h"

namespace fairlead {
namespace {

Result<std::optional<Instant>> TimeOf(const RequestHead& head, std::string_view name) {
  const std::string_view text = QueryValue(head, name);
  if (text.empty()) return std::optional<Instant>();
  auto at = ParseIso(text.size() == 10 ? std::string(text) + "T00:00:00Z" : std::string(text));
  if (!at.ok()) return Within(std::string(name), at.error());
  return std::optional<Instant>(*at);
}

Result<std::optional<int>> TotalOf(const RequestHead& head, std::string_view name) {
  const std::string_view text = QueryValue(head, name);
  if (text.empty()) return std::optional<int>();
  int total = -1;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), total);
  if (fault != std::errc() || end != text.data() + text.size() || total < 0 || total > 5) {
    return Error{"a J-CTO total is a whole number from 0 to 5", std::string(name), "give one of them"};
  }
  return std::optional<int>(total);
}

Result<Slice> SliceOf(const RequestHead& head) {
  const auto since = TimeOf(head, "since"), until = TimeOf(head, "until");
  const auto from = TotalOf(head, "j_cto_from"), to = TotalOf(head, "j_cto_to");
  if (!since.ok()) return since.error();
  if (!until.ok()) return until.error();
  if (!from.ok()) return from.error();
  if (!to.ok()) return to.error();
  const std::string_view first = QueryValue(head, "first_attempts");
  if (!first.empty() && first != "true" && first != "false") return Error{"it is neither true nor false", "first_attempts", "write true, or leave it out"};
  return Slice{.since = *since, .until = *until, .by = std::string(QueryValue(head, "by")), .vessel = std::string(QueryValue(head, "vessel")),
               .strategy = std::string(QueryValue(head, "strategy")), .j_cto_from = *from, .j_cto_to = *to, .first_attempts = first == "true"};
}

// From the registry that labs share instead of from this lab's journals.
Response ShowAuditThere(const App& app, const Slice& slice) {
  if (app.sender == nullptr) return Refusal(Error{"this program knows no shared registry", "from", "begin it with --outbox ADDRESS --as LAB, or leave this out"});
  auto audit = app.sender->AuditThere(slice);
  if (!audit.ok()) return Refusal(audit.error());
  return Json(AuditJson(*audit, slice));
}

Response ShowAudit(App& app, Asked& asked) {
  auto slice = SliceOf(asked.request.head);
  if (!slice.ok()) return Refusal(slice.error());
  const std::string_view from = QueryValue(asked.request.head, "from");
  if (from == "shared") return ShowAuditThere(app, *slice);
  if (!from.empty()) return Refusal(Error{"there are no such figures", "from", "write shared, or leave it out"});
  auto found = app.rows->AuditNow(app.practice, *slice);
  if (!found.ok()) return Refusal(found.error());
  Audit& audit = found->audit;
  if (const std::size_t held_back = found->registry.withheld.size(); held_back > 0) {
    audit.says.push_back(std::to_string(held_back) + (held_back == 1 ? " case whose run has ended gives" : " cases whose run has ended give") +
                         " no row: an entry of the journal is not understood by this version of the program.");
  }
  if (std::string said = UnsignedSentence(found->registry); !said.empty()) audit.says.push_back(std::move(said));
  return Json(AuditJson(audit, *slice));
}

Response ShowRegistry(App& app, Asked&) {
  auto registry = app.practice.RegistryNow();
  if (!registry.ok()) return Refusal(registry.error());
  return Json(RegistryJson(*registry));
}

// One table of the export as a file.
Response ShowRegistryTable(App& app, Asked& asked) {
  auto registry = app.practice.RegistryNow();
  if (!registry.ok()) return Refusal(registry.error());
  const std::string_view name = QueryValue(asked.request.head, "table"), only = QueryValue(asked.request.head, "case");
  if (!only.empty()) std::erase_if(registry->visits, [&](const LabVisit& visit) { return visit.case_id != only; });
  for (const RegistryTable& table : TablesOf(*registry)) {
    if (table.name != name) continue;
    Response response = Json(CsvText(table));
    response.type = "text/csv; charset=utf-8";
    return response;
  }
  return Refusal(Error{"there is no such table", "table", "ask for visits, attempts, devices, troubles or dictionary"});
}

Response ShowOutbox(App& app, Asked&) { return Json(SenderJson(app.sender)); }

// The nearest past cases of a case as its facts stand.
Response LikeOf(App& app, const std::string& case_id, std::size_t most) {
  const auto known = app.practice.Has(case_id);
  if (!known.ok()) return Refusal(known.error());
  if (!*known) return Refusal(404, Error{"there is no case \"" + case_id.substr(0, 40) + "\"", "", "GET /api/cases lists them"});
  auto standing = app.practice.Standing(case_id, {});
  if (!standing.ok()) return Refusal(standing.error());
  CaseRow plan;
  plan.id = case_id;
  TakeFacts(plan, WithDerived(standing->facts));
  const auto answer = app.rows->Like(app.practice, plan, most);
  if (!answer.ok()) return Refusal(answer.error());
  return Json(LikeJson(*answer));
}

Response ShowLike(App& app, Asked& asked) {
  const std::string_view text = QueryValue(asked.request.head, "most");
  std::size_t most = 10;
  if (!text.empty()) {
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), most);
    if (fault != std::errc() || end != text.data() + text.size() || most < 1 || most > kMostLike) {
      return Refusal(Error{"this is no whole number from 1 to 50", "most", "give one of them"});
    }
  }
  return LikeOf(app, asked.given[0], most);
}

constexpr std::array<Route, 5> kRoutes = {{
    {.method = "GET", .path = "/api/cases/{id}/panels/like", .slow = true, .answer = ShowLike},
    {.method = "GET", .path = "/api/practice/audit", .slow = true, .answer = ShowAudit},
    {.method = "GET", .path = "/api/practice/outbox", .answer = ShowOutbox},
    {.method = "GET", .path = "/api/practice/registry", .answer = ShowRegistry},
    {.method = "GET", .path = "/api/practice/registry.csv", .answer = ShowRegistryTable},
}};

}  // namespace

std::span<const Route> PracticeRoutes() { return kRoutes; }

}  // namespace fairlead
