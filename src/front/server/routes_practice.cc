// SPDX-License-Identifier: Apache-2.0
// The practice: its own figures over past cases.
#include <array>
#include <charconv>

#include "front/server/answer.h"
#include "front/server/routes.h"
#include "front/server/target.h"
#include "practice/audit/audit.h"

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
  return Slice{.since = *since, .until = *until, .by = std::string(QueryValue(head, "by")), .vessel = std::string(QueryValue(head, "vessel")),
               .strategy = std::string(QueryValue(head, "strategy")), .j_cto_from = *from, .j_cto_to = *to};
}

Response ShowAudit(App& app, Asked& asked) {
  auto slice = SliceOf(asked.request.head);
  if (!slice.ok()) return Refusal(slice.error());
  auto lab = app.practice.Lab();
  if (!lab.ok()) return Refusal(lab.error());
  std::vector<CaseRow> rows;
  if (const KnowledgeText* past = FindKnowledge(**lab, kPastCases)) {
    auto read = ParseCaseRows(past->text);
    if (!read.ok()) return Refusal(Within("the lab's past cases", read.error()));
    rows = std::move(*read);
  }
  return Json(AuditJson(RunAudit(rows, *slice), *slice));
}

constexpr std::array<Route, 1> kRoutes = {{
    {.method = "GET", .path = "/api/practice/audit", .answer = ShowAudit},
}};

}  // namespace

std::span<const Route> PracticeRoutes() { return kRoutes; }

}  // namespace fairlead
