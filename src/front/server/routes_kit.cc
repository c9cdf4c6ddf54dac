// SPDX-License-Identifier: Apache-2.0
// Does it fit, does it reach, is it on the shelf: with the lab's own shelf, and for a case.
#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <utility>

#include "casebook/derive.h"
#include "casebook/entry_json.h"
#include "front/server/answer.h"
#include "front/server/body.h"
#include "front/server/json_text.h"
#include "front/server/kit_uses.h"
#include "front/server/lab_shelf.h"
#include "front/server/pair_note.h"
#include "front/server/random.h"
#include "front/server/routes.h"
#include "front/server/tray_ladder.h"
#include "reasoning/kit/kit_json.h"
#include "reasoning/kit/route_json.h"
#include "reasoning/tray/tray_facts.h"
#include "reasoning/tray/tray_json.h"

namespace fairlead {
namespace {

constexpr std::size_t kPreviewed = 200;  // devices shown of a list; chosen

// What is left after the packages that the journals say were opened.
Result<ShelfLeft> LeftOnShelf(App& app) {
  auto lab = app.practice.Lab();
  if (!lab.ok()) return lab.error();
  const auto uses = app.practice.KitUsesNow();
  if (!uses.ok()) return uses.error();
  return ShelfLeftOf(**lab, *uses);
}
Result<Shelf> LabShelf(App& app) {
  auto left = LeftOnShelf(app);
  if (!left.ok()) return left.error();
  return std::move(left->shelf);
}

CalendarDay Today() { return DayOf(Now().ms); }

Response AnswerFitAsked(App& app, Asked& asked) {
  const auto shelf = LabShelf(app);
  if (!shelf.ok()) return Refusal(shelf.error());
  const auto question = FitQuestionFromJson(asked.request.body);
  if (!question.ok()) return Refusal(question.error());
  const auto kinds = AnswerKinds(*question, *shelf);
  if (!kinds.ok()) return Refusal(kinds.error());
  if (*kinds) return Json(KindsJson(**kinds));
  const auto report = AnswerFit(*question, *shelf);
  return report.ok() ? Json(FitJson(*report)) : Refusal(report.error());
}

Response AnswerReach(App& app, Asked& asked) {
  const auto shelf = LabShelf(app);
  if (!shelf.ok()) return Refusal(shelf.error());
  const auto question = RouteFromJson(asked.request.body, *shelf);
  return question.ok() ? Json(ReachJson(*question)) : Refusal(question.error());
}

// {"label": text}: what it says, and the device of the shelf that has its number.
Response AnswerLabel(App& app, Asked& asked) {
  auto members = MembersOf(asked.request.body);
  if (!members.ok()) return Refusal(members.error());
  if (members->size() != 1 || members->front().first != "label") return Refusal(Error{"this body has other members than label", "body", "send {\"label\": text}"});
  const auto text = ParseText(members->front().second);
  if (!text.ok()) return Refusal(Within("label", text.error()));
  const auto label = ParseLabel(*text, Today());
  if (!label.ok()) return Refusal(label.error());
  const auto shelf = LabShelf(app);
  if (!shelf.ok()) return Refusal(shelf.error());
  const auto device = std::ranges::find_if(shelf->devices, [&](const Device& each) { return HasNumber(each, label->gtin); });
  const std::string known = device == shelf->devices.end() ? "null" : DeviceJson(*device, IsoOf(Today()));
  const std::string note = UsedNote(*label, device == shelf->devices.end() ? "" : device->name);
  JsonText json;
  return Json(json.Open('{').Key("label").Raw(LabelJson(*label)).Key("device").Raw(known).Member("note", note).Close('}').Take());
}

Response SearchShelf(App& app, Asked& asked) {
  const auto left = LeftOnShelf(app);
  if (!left.ok()) return Refusal(left.error());
  const auto need = ParseNeed(QueryValue(asked.request.head, "need"));
  if (!need.ok()) return Refusal(need.error());
  return Json(LeftJson(*left, Search(left->shelf, *need), IsoOf(Today())));
}

// Writes the list in the place of the shelf that was.
Status Keep(App& app, const Shelf& shelf, const std::string& by, const std::string& device) {
  const Instant now = Now();
  std::vector<IncomingEntry> entries;
  for (KnowledgeWritten& written : ShelfWritten(shelf, "lab", ToIso(now))) {
    Entry entry;
    entry.id = NewUlid(now, RandomTail());
    entry.at = now;
    entry.written = now;
    entry.by = by;
    entry.device = device;
    entry.kind = "knowledge";
    entry.data = std::move(written);
    auto incoming = ParseEntry(EntryJson(MakeIncoming(std::move(entry))));  // as strictly as what others write
    if (!incoming.ok()) return incoming.error();
    entries.push_back(std::move(*incoming));
  }
  auto receipts = app.practice.Append(std::string(kLabCase), entries);
  if (!receipts.ok()) return receipts.error();
  return Done{};
}

// The list as the file has it, in the body. `?keep=1&by=AB` writes what was taken.
Response ImportList(App& app, Asked& asked) {
  const auto import = ImportShelf(asked.request.body);
  if (!import.ok()) return Refusal(import.error());
  if (QueryValue(asked.request.head, "keep") == "1") {
    const std::string by(QueryValue(asked.request.head, "by"));
    if (by.empty()) return Refusal(Error{"nobody is named as the writer", "by", "add by=INITIALS"});
    if (import->taken == 0) return Refusal(Error{"no line of the list was taken", "", "mend the lines that the preview names"});
    const Status kept = Keep(app, import->shelf, by, asked.request.head.local ? "command line" : "page");
    if (!kept.ok()) return Refusal(kept.error());
  }
  return Json(ImportJson(*import, IsoOf(Today()), kPreviewed));
}

Response ShowWires(App& app, Asked&) {
  const auto shelf = LabShelf(app);
  return shelf.ok() ? Json(WiresJson(*shelf, IsoOf(Today()))) : Refusal(shelf.error());
}

Response ShowSupport(App&, Asked&) { return Json(SupportJson()); }

std::vector<std::string> StrategiesIn(std::string_view list) {
  std::vector<std::string> strategies;
  while (!list.empty()) {
    const auto end = std::min(list.find(','), list.size());
    if (end > 0) strategies.emplace_back(list.substr(0, end));
    list.remove_prefix(std::min(end + 1, list.size()));
  }
  return strategies;
}

struct TrayAsked {
  std::vector<TrayWay> ways;
  TrayQuestion question;
  TrayAnswer answer;
  Shelf shelf;
  std::int64_t seq = 0;
  bool invented_case = false;
};

// Lengths of the route that were drawn in a single picture: no second view stands beside them.
std::vector<FactKey> InOneView(const State& state, const Facts& facts) {
  constexpr auto kAlongTheRoute = std::to_array<std::string_view>({"donor_way_mm", "channel_length_mm", "recipient_way_mm", "antegrade_way_mm"});
  std::vector<FactKey> keys;
  for (const auto& [key, belief] : facts) {
    if (std::ranges::find(kAlongTheRoute, std::string_view(key.name)) == kAlongTheRoute.end()) continue;
    const FactStated* stated = StandingFact(state, key);
    if (stated != nullptr && stated->mark == Mark::kMeasured && !stated->origin.image.empty() && !PointsOfFact(*stated)) keys.push_back(key);
  }
  return keys;
}

// ?strategies=AW,ADR&channel=c1&radial_mm=2.4; without strategies those of the ladder, in its order.
Result<TrayAsked> AskTray(App& app, Asked& asked) {
  const RequestHead& head = asked.request.head;
  const auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return state.error();
  const auto lab = app.practice.Lab();
  if (!lab.ok()) return lab.error();
  auto ways = WaysInOrder(*state, **lab, Now());
  if (!ways.ok()) return ways.error();
  auto shelf = LabShelf(app);
  if (!shelf.ok()) return shelf.error();
  const std::string_view asked_for = QueryValue(head, "strategies"), channel = QueryValue(head, "channel");
  const Facts facts = WithDerived(StandingFacts(*state));
  const std::vector<FactKey> one_view = InOneView(*state, facts);
  TrayQuestion question = QuestionFromFacts(facts, asked_for.empty() ? StrategiesOf(*ways) : StrategiesIn(asked_for),
                                            channel.empty() ? ChannelOf(*ways) : std::string(channel), one_view);
  question.today = IsoOf(Today());
  if (const std::string_view radial = QueryValue(head, "radial_mm"); !radial.empty()) {
    const auto size = ParseSize(radial, SizeUnit::kMillimetre);
    if (!size.ok()) return Within("radial_mm", size.error());
    question.radial_artery = size->value;
  }
  auto answer = ChooseTray(question, *shelf);
  if (!answer.ok()) return answer.error();
  const CaseOpened* opened = CaseInfo(*state);
  return TrayAsked{std::move(*ways), std::move(question), std::move(*answer), std::move(*shelf), state->seq, opened != nullptr && opened->invented};
}

std::optional<Response> NoSuchCase(App& app, const std::string& id) {
  const auto known = app.practice.Has(id);
  if (!known.ok()) return Refusal(known.error());
  if (*known) return std::nullopt;
  return Refusal(404, Error{"there is no such case", "", "choose one from the list of cases"});
}

Response TrayPanel(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked.given[0])) return std::move(*none);
  auto tray = AskTray(app, asked);
  if (!tray.ok()) return Refusal(tray.error());
  AddFlow(tray->answer, tray->shelf);
  return Json("{\"seq\":" + std::to_string(tray->seq) + "," + WaysMember(tray->ways, tray->question, tray->answer) + "," +
              TrayJson(tray->question, tray->answer, tray->shelf).substr(1));
}

// What the ways of the run lack, for the board. The invented shelf says nothing of a case that is not invented.
Response LackingPanel(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked.given[0])) return std::move(*none);
  auto tray = AskTray(app, asked);
  if (!tray.ok()) return Refusal(tray.error());
  const bool known = !tray->shelf.invented || tray->invented_case;
  JsonText json;
  json.Open('{').Member("seq", tray->seq).Member("shelf_known", known).Member("invented", tray->shelf.invented).Key("bailout").Open('[');
  for (const TrayNeed& need : tray->answer.bailout) {
    if (!known || need.state == NeedState::kReady) continue;
    json.Open('{').Member("what", need.what).Member("state", WordOf(need.state)).Member("remark", need.remark).Close('}');
  }
  std::string text = json.Close(']').Take();
  return Json(text + "," + (known ? WaysMember(tray->ways, tray->question, tray->answer) : "\"ways\":[]") + "}");
}

constexpr std::array<Route, 9> kRoutes = {{
    {.method = "POST", .path = "/api/kit/fit", .body = Route::Body::kJson, .slow = true, .needs = Role::kReader, .answer = AnswerFitAsked},
    {.method = "POST", .path = "/api/kit/reach", .body = Route::Body::kJson, .needs = Role::kReader, .answer = AnswerReach},
    {.method = "POST", .path = "/api/kit/label", .body = Route::Body::kJson, .needs = Role::kReader, .answer = AnswerLabel},
    {.method = "GET", .path = "/api/kit/shelf", .answer = SearchShelf},
    {.method = "POST", .path = "/api/kit/import", .body = Route::Body::kTable, .needs = Role::kAdministrator, .answer = ImportList},
    {.method = "GET", .path = "/api/kit/wires", .answer = ShowWires},
    {.method = "GET", .path = "/api/kit/support", .answer = ShowSupport},
    {.method = "GET", .path = "/api/cases/{id}/panels/tray", .slow = true, .answer = TrayPanel},
    {.method = "GET", .path = "/api/cases/{id}/panels/lacking", .slow = true, .answer = LackingPanel},
}};

}  // namespace

std::span<const Route> KitRoutes() { return kRoutes; }

}  // namespace fairlead
