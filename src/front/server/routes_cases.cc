// SPDX-License-Identifier: Apache-2.0
// Cases, their entries, their events, and assessments.
#include <algorithm>
#include <array>
#include <set>

#include "casebook/entry_json.h"
#include "casebook/fact_json.h"
#include "front/server/answer.h"
#include "front/server/body.h"
#include "front/server/json_text.h"
#include "front/server/log_entry.h"
#include "front/server/random.h"
#include "front/server/routes.h"

namespace fairlead {
namespace {

constexpr std::size_t kFollowed = 64;       // cases of one follower; chosen
constexpr std::size_t kLongestResume = 256;  // events; a page that missed more reads the case anew anyway

std::string DeviceOf(const Request& request) { return request.head.local ? "command line" : "page"; }

// Nothing if the case is there.
std::optional<Response> NoCase(App& app, const std::string& case_id) {
  auto has = app.practice.Has(case_id);
  if (!has.ok()) return Refusal(has.error());
  if (*has) return std::nullopt;
  return Refusal(404, Error{"there is no such case", "", "choose one from the list of cases"});
}

Response ListCases(App& app, Asked&) {
  auto json = app.practice.CasesJson();
  return json.ok() ? Json(std::move(*json)) : Refusal(json.error());
}

Response OpenCase(App& app, Asked& asked) {
  auto body = ParseNewCase(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  auto id = app.practice.NewCase(body->title, body->room, DeviceOf(asked.request));
  if (!id.ok()) return Refusal(id.error());
  JsonText json;
  json.Open('{').Member("id", *id).Close('}');
  return Json(json.Take());
}

Response ShowCase(App& app, Asked& asked) {
  if (auto none = NoCase(app, asked.given[0])) return std::move(*none);
  auto json = app.practice.CaseJsonOf(asked.given[0], std::nullopt);
  return json.ok() ? Json(std::move(*json)) : Refusal(json.error());
}

Response ShowPast(App& app, Asked& asked) {
  if (auto none = NoCase(app, asked.given[0])) return std::move(*none);
  auto at = ParseIso(asked.given[1]);
  if (!at.ok()) return Refusal(Within("the time in the path", at.error()));
  bool known = false;
  for (const auto& [name, value] : asked.request.head.query) known = known || (name == "known" && value != "false");
  auto json = app.practice.CaseJsonOf(asked.given[0], CasePicture::Past{*at, known});
  return json.ok() ? Json(std::move(*json)) : Refusal(json.error());
}

Result<std::vector<IncomingEntry>> ParseEntries(const std::string& case_id, std::string_view body) {
  auto slices = ParseEntriesBody(body);
  if (!slices.ok()) return slices.error();
  std::vector<IncomingEntry> entries;
  for (std::size_t i = 0; i < slices->size(); ++i) {
    auto entry = ParseEntry((*slices)[i]);
    const std::string where = "entries[" + std::to_string(i) + "]";
    if (!entry.ok()) return Within(where, entry.error());
    if (entry->entry.kind == "image" || entry->entry.kind == "shown") {
      return Error{"the program itself writes entries of kind \"" + entry->entry.kind + "\"", where,
                   "send the image to /api/images"};
    }
    if (auto fits = FitsChain(case_id, {&*entry, 1}); !fits.ok()) return Within(where, fits.error());
    entries.push_back(std::move(*entry));
  }
  return entries;
}

Response WriteEntries(App& app, Asked& asked) {
  if (auto none = NoCase(app, asked.given[0])) return std::move(*none);
  return AppendEntries(app, asked.given[0], asked.request.body);
}

Response AssessFacts(App& app, Asked& asked) {
  auto body = ParseAssess(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  if (!body->case_id.empty()) {
    if (auto none = NoCase(app, body->case_id)) return std::move(*none);
    RecordLook(app, asked.request.head, body->case_id);
  }
  auto patch = ParseFacts(body->facts);
  if (!patch.ok()) return Refusal(Within("facts", patch.error()));
  auto json = app.practice.AssessJson(body->case_id, *patch);
  return json.ok() ? Json(std::move(*json)) : Refusal(json.error());
}

// What a follower missed of one case: all of it after its last event, else where the case stands now.
Result<std::string> Missed(App& app, const std::string& case_id, const EventId& last) {
  const bool resumes = last.seq >= 0 && last.case_id == case_id;
  auto appended = app.practice.After(case_id, resumes ? last.seq : 0);
  if (!appended.ok()) return appended.error();
  std::size_t from = appended->size() > kLongestResume ? appended->size() - 1 : 0;
  if (!resumes && !appended->empty()) from = appended->size() - 1;
  std::string text;
  for (std::size_t i = from; i < appended->size(); ++i) text += EventText((*appended)[i]);
  return text;
}

void FollowCases(App& app, Asked& asked, const std::shared_ptr<Reply>& reply) {
  std::set<std::string> cases;
  for (const auto& [name, value] : asked.request.head.query) {
    if (name == "case") cases.insert(value);
  }
  if (cases.size() > kFollowed) {
    return reply->Send(Refusal(Error{"more than 64 cases are followed at once", "", "follow fewer"}));
  }
  for (const std::string& case_id : cases) {
    if (case_id == kLabCase) continue;
    if (auto none = NoCase(app, case_id)) return reply->Send(std::move(*none));
    RecordLook(app, asked.request.head, case_id);
  }
  const EventId last = ParseEventId(asked.request.head.last_event_id);
  // Followed first and read afterwards: an entry in between is told twice rather than not at all.
  const auto stream = reply->Open();
  app.events.Follow(cases, stream, ": the engine's events\n\n",
                    [&app, cookie = asked.request.head.cookie, local = asked.request.head.local] {
                      return local || app.guard.StillIn(cookie);
                    });
  for (const std::string& case_id : cases) {
    if (auto text = Missed(app, case_id, last); text.ok() && !text->empty()) {
      stream->Send(std::make_shared<const std::string>(std::move(*text)));
    }
  }
}

constexpr std::array<Route, 7> kRoutes = {{
    {.method = "GET", .path = "/api/cases", .answer = ListCases},
    {.method = "POST", .path = "/api/cases", .body = Route::Body::kJson, .needs = Role::kOperator, .answer = OpenCase},
    {.method = "GET", .path = "/api/cases/{id}", .answer = ShowCase},
    {.method = "GET", .path = "/api/cases/{id}/at/{time}", .answer = ShowPast},
    {.method = "POST", .path = "/api/cases/{id}/entries", .body = Route::Body::kJson, .answer = WriteEntries},
    {.method = "GET", .path = "/api/events", .stream = FollowCases},
    {.method = "POST", .path = "/api/assess", .body = Route::Body::kJson, .needs = Role::kReader, .answer = AssessFacts},
}};

}  // namespace

namespace {

// What happened in the lab, sent ready made: it contradicts the run no more than a typed line may.
Result<std::vector<Receipt>> AppendToRun(App& app, const std::string& case_id, const std::vector<IncomingEntry>& entries, std::optional<Error>& refused) {
  auto lab = app.practice.Lab();
  if (!lab.ok()) return lab.error();
  auto room = RoomOf(**lab, Now(), Duration::Minutes(0));
  if (!room.ok()) return room.error();
  return app.practice.AppendPlanned(case_id, [&](const State& state) -> Result<std::vector<IncomingEntry>> {
    if (auto holds = HoldAgainst(state, entries, *room); !holds.ok()) {
      refused = holds.error();
      return *refused;
    }
    return entries;
  });
}

}  // namespace

Response AppendEntries(App& app, const std::string& case_id, const std::string& body) {
  auto entries = ParseEntries(case_id, body);
  if (!entries.ok()) return Refusal(entries.error());
  const bool of_run = std::ranges::any_of(*entries, [](const IncomingEntry& one) { return std::holds_alternative<RunEvent>(one.entry.data); });
  std::optional<Error> refused;
  auto receipts = !of_run ? app.practice.Append(case_id, *entries) : AppendToRun(app, case_id, *entries, refused);
  if (refused) return Refusal(*refused);
  if (!receipts.ok()) return Refusal(receipts.error().fault == Fault::kOutside ? 503 : 409, receipts.error());
  return Json(ReceiptsJson(*receipts));
}

std::span<const Route> CaseRoutes() { return kRoutes; }

}  // namespace fairlead
