// SPDX-License-Identifier: Apache-2.0
// The log bar over HTTP: a line of text in, a preview or an entry out; completion; the grammar as data.
#include <algorithm>
#include <array>

#include "casebook/entry_text.h"
#include "front/server/answer.h"
#include "front/server/body.h"
#include "front/server/json_text.h"
#include "front/server/lab_shelf.h"
#include "front/server/log_entry.h"
#include "front/server/log_scan.h"
#include "front/server/random.h"
#include "front/server/routes.h"
#include "front/server/run_json.h"

namespace fairlead {
namespace {

std::optional<Response> NoCase(App& app, const std::string& case_id) {
  auto has = app.practice.Has(case_id);
  if (!has.ok()) return Refusal(has.error());
  if (*has) return std::nullopt;
  return Refusal(404, Error{"there is no such case", "", "choose one from the list of cases"});
}

struct LogBody {
  LogRequest request;
  std::optional<Duration> zone;
  bool write = false, confirm = false, typing = false;
};

Result<Instant> TimeIn(std::string_view value) {
  auto text = ParseText(value);
  if (!text.ok()) return text.error();
  return ParseIso(*text);
}

// Members that are words; null: no such member.
std::string* WordsOf(LogRequest& request, const std::string& name) {
  if (name == "text") return &request.text;
  if (name == "by") return &request.by;
  if (name == "id") return &request.id;
  return name == "device" ? &request.device : nullptr;
}

bool* AnswerOf(LogBody& body, const std::string& name) {
  if (name == "write") return &body.write;
  if (name == "confirm") return &body.confirm;
  return name == "typing" ? &body.typing : nullptr;
}

Status TakeZone(LogBody& body, std::string_view value) {
  auto minutes = ParseNumber(value);
  if (!minutes.ok()) return Within("zone_min", minutes.error());
  if (!(*minutes >= -840 && *minutes <= 840)) return Error{"a zone is at most 14 hours from UTC", "zone_min", "send minutes east of UTC"};
  body.zone = Duration::Minutes(*minutes);
  return Done{};
}

Status TakeMember(LogBody& body, const std::string& name, std::string_view value) {
  if (bool* yes = AnswerOf(body, name); yes != nullptr) {
    if (value != "true" && value != "false") return Error{"this is neither true nor false", name, "send one of them"};
    *yes = value == "true";
    return Done{};
  }
  if (name == "zone_min") return TakeZone(body, value);
  if (name == "at" || name == "written") {
    auto time = TimeIn(value);
    if (!time.ok()) return Within(name, time.error());
    (name == "at" ? body.request.at : body.request.written) = *time;
    return Done{};
  }
  std::string* text = WordsOf(body.request, name);
  if (text == nullptr) return Error{"there is no member \"" + name.substr(0, 60) + "\"", "the body", "send text, by, at, written, id, device, zone_min, write, confirm, typing"};
  auto given = ParseText(value);
  if (!given.ok()) return Within(name, given.error());
  *text = std::move(*given);
  return Done{};
}

Result<LogBody> ParseLogBody(std::string_view json, bool local) {
  auto members = MembersOf(json);
  if (!members.ok()) return members.error();
  LogBody body;
  body.request.device = local ? "command line" : "page";
  body.request.by = "operator";
  for (const auto& [name, value] : *members)
    if (auto taken = TakeMember(body, name, value); !taken.ok()) return taken.error();
  if (!body.request.id.empty() && !IsUlid(body.request.id)) return Error{"this is no id", "id", "send a ULID, or none"};
  if (body.request.by.empty() || body.request.by.size() > 64 || body.request.device.size() > 64) return Error{"a name has 1 to 64 bytes", "by", "send initials or a role"};
  return body;
}

std::string PlanJson(const LogPlan& plan, const std::string& receipts) {
  JsonText json;
  json.Open('{').Member("line", plan.line).Member("says", plan.says);
  json.Member("kind", plan.entries.front().entry.kind).Member("at", ToIso(plan.entries.front().entry.at)).Key("asks").Open('[');
  for (const LogQuestion& asked : plan.asks) {
    json.Open('{').Member("what", asked.what).Member("to_do", asked.to_do).Key("amends");
    asked.amends.empty() ? json.Null() : json.Text(asked.amends);
    json.Close('}');
  }
  json.Close(']').Key("data").Raw(plan.entries.front().data).Key("entries");
  receipts.empty() ? json.Open('[').Close(']') : json.Raw(receipts);
  return json.Close('}').Take();
}

// A line that is still being typed makes no sense most of the time: no fault of whoever asks.
Response NotYet(const LogBody& body, const Error& error) {
  JsonText json;
  json.Open('{').Member("line", body.request.text).Key("refused").Open('{');
  json.Member("what", error.what).Member("where", error.where).Member("to_do", error.to_do);
  return Json(json.Close('}').Close('}').Take());
}

// The list in {"entries": [...]}.
std::string ReceiptList(std::span<const Receipt> receipts) {
  const std::string json = ReceiptsJson(receipts);
  const std::size_t start = json.find('[');
  return json.substr(start, json.size() - 1 - start);
}

// The line of an entry sent before: answered as it was, so that a queue may send again.
std::optional<Response> SentBefore(const State& state, const LogRequest& request) {
  const auto place = request.id.empty() ? state.places.end() : state.places.find(request.id);
  if (place == state.places.end()) return std::nullopt;
  const Entry& held = state.entries[place->second];
  LogPlan plan;
  plan.entries.push_back({held, EntryDataJson(held.data)});
  plan.line = request.text;
  plan.says = EntryText(held);
  const Receipt receipt{.id = held.id, .seq = held.seq, .recorded = held.recorded, .hash = held.hash, .again = true};
  return Json(PlanJson(plan, ReceiptList({&receipt, 1})));
}

// Plan and write in one go: the second of two recorders is asked about the first one's dose, and gets the next tag.
Response WriteLine(App& app, const std::string& case_id, const LogBody& body, const LogRoom& room, const Shelf* shelf) {
  std::optional<Response> before;
  std::optional<Error> refused;
  LogPlan plan;
  auto receipts = app.practice.AppendPlanned(case_id, [&](const State& state) -> Result<std::vector<IncomingEntry>> {
    before = SentBefore(state, body.request);
    if (before) return std::vector<IncomingEntry>{};
    auto made = PlanLog(state, body.request, room, shelf);
    if (!made.ok()) {
      refused = made.error();
      return *refused;
    }
    plan = std::move(*made);
    return plan.asks.empty() || body.confirm ? plan.entries : std::vector<IncomingEntry>{};
  });
  if (before) return std::move(*before);
  if (refused) return Refusal(*refused);
  if (!receipts.ok()) return Refusal(receipts.error().fault == Fault::kOutside ? 503 : 409, receipts.error());
  return Json(PlanJson(plan, receipts->empty() ? std::string() : ReceiptList(*receipts)));
}

Response TypeLine(App& app, Asked& asked) {
  const std::string& case_id = asked.given[0];
  if (auto none = NoCase(app, case_id)) return std::move(*none);
  auto body = ParseLogBody(asked.request.body, asked.request.head.local);
  asked.keeps = body.ok() && body->write;
  if (!body.ok()) return Refusal(body.error());
  auto lab = app.practice.Lab();
  if (!lab.ok()) return Refusal(lab.error());
  auto room = RoomOf(**lab, Now(), body->zone);
  if (!room.ok()) return Refusal(room.error());
  std::optional<Shelf> shelf;
  if (body->request.text.find("kit:") != std::string::npos || FindScan(body->request.text)) {
    auto read = ShelfOf(**lab);
    if (!read.ok()) return Refusal(read.error());
    shelf = std::move(*read);
  }
  if (body->write) return WriteLine(app, case_id, *body, *room, shelf ? &*shelf : nullptr);
  auto state = app.practice.StateOf(case_id, std::nullopt);
  if (!state.ok()) return Refusal(state.error());
  if (auto before = SentBefore(*state, body->request)) return std::move(*before);
  auto plan = PlanLog(*state, body->request, *room, shelf ? &*shelf : nullptr);
  if (plan.ok()) return Json(PlanJson(*plan, {}));
  const bool senseless = body->typing && plan.error().fault != Fault::kOutside;
  return senseless ? NotYet(*body, plan.error()) : Refusal(plan.error());
}

Response Complete(App& app, Asked& asked) {
  asked.keeps = false;
  if (auto none = NoCase(app, asked.given[0])) return std::move(*none);
  auto body = ParseLogBody(asked.request.body, asked.request.head.local);
  if (!body.ok()) return Refusal(body.error());
  auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return Refusal(state.error());
  JsonText json;
  json.Open('{').Key("choices").Open('[');
  for (const LogChoice& choice : CompleteLogLine(body->request.text, TagsInBody(*state)))
    json.Open('{').Member("text", choice.text).Member("says", choice.says).Close('}');
  return Json(json.Close(']').Close('}').Take());
}

Response ShowRun(App& app, Asked& asked) {
  if (auto none = NoCase(app, asked.given[0])) return std::move(*none);
  const RequestHead& head = asked.request.head;
  const std::string_view time = QueryValue(head, "at");
  if (time.empty()) {
    auto board = app.boards.At(asked.given[0], Now());
    return board.ok() ? Json(**board) : Refusal(board.error());
  }
  auto at = ParseIso(time);
  if (!at.ok()) return Refusal(Within("at", at.error()));
  const CasePicture::Past past{*at, std::ranges::any_of(head.query, [](const auto& one) { return one.first == "known"; })};
  auto state = app.practice.StateOf(asked.given[0], past);
  if (!state.ok()) return Refusal(state.error());
  auto lab = app.practice.Lab(past.known ? std::optional(past.at) : std::nullopt);
  if (!lab.ok()) return Refusal(lab.error());
  auto panel = RunPanelOf(*state, **lab, *at);
  return panel.ok() ? Json(std::move(panel->json)) : Refusal(panel.error());
}

Response ShowGrammar(App&, Asked&) { return Json(GrammarJson()); }

constexpr std::array<Route, 4> kRoutes = {{
    {.method = "GET", .path = "/api/cases/{id}/panels/run", .answer = ShowRun},
    {.method = "POST", .path = "/api/cases/{id}/log", .body = Route::Body::kJson, .answer = TypeLine},
    {.method = "POST", .path = "/api/cases/{id}/log/complete", .body = Route::Body::kJson, .answer = Complete},
    {.method = "GET", .path = "/api/log/grammar", .answer = ShowGrammar},
}};

}  // namespace

std::span<const Route> RunRoutes() { return kRoutes; }

}  // namespace fairlead
