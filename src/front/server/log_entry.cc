// SPDX-License-Identifier: Apache-2.0
#include "front/server/log_entry.h"

#include <algorithm>
#include <ctime>
#include <iterator>

#include "casebook/entry_text.h"
#include "casebook/run_table.h"
#include "front/server/body.h"
#include "front/server/kit_uses.h"
#include "front/server/log_kit.h"
#include "front/server/log_scan.h"
#include "front/server/random.h"

namespace fairlead {
namespace {

constexpr const char* kWhere = "the log line";
constexpr std::int64_t kUndo_ms = 2 * 60'000;

bool Stands(const State& state, EntryIndex index) {
  return state.status[index] == EntryStatus::kCounts || state.status[index] == EntryStatus::kAmendment;
}
bool Typed(const Entry& entry) {
  return std::holds_alternative<RunEvent>(entry.data) || std::holds_alternative<NoteWritten>(entry.data) || std::holds_alternative<FactStated>(entry.data);
}

const std::string& OriginalOf(const Entry& entry) { return entry.amends.empty() ? entry.id : entry.amends; }

// What stands for the entry of that number.
Result<EntryIndex> Standing(const State& state, std::int64_t seq) {
  for (EntryIndex index = 0; index < state.entries.size(); ++index) {
    if (state.entries[index].seq != seq) continue;
    const std::string& original = OriginalOf(state.entries[index]);
    for (EntryIndex other = state.entries.size(); other-- > 0;) {
      if (Stands(state, other) && Typed(state.entries[other]) && OriginalOf(state.entries[other]) == original) return other;
    }
    return Error{"entry #" + std::to_string(seq) + " no longer counts, or cannot be changed", kWhere, "fairlead journal shows what stands"};
  }
  return Error{"there is no entry #" + std::to_string(seq), kWhere, "fairlead journal shows the numbers"};
}

Result<EntryIndex> LastOfVerb(const State& state, const EntryData& data) {
  const auto* event = std::get_if<RunEvent>(&data);
  if (event == nullptr) return Error{"which entry is amended is not said", kWhere, "type amend #12 and what it shall say"};
  for (auto index = state.run.rbegin(); index != state.run.rend(); ++index) {
    const auto* held = std::get_if<RunEvent>(&state.entries[*index].data);
    if (held != nullptr && held->verb == event->verb) return *index;
  }
  return Error{"no entry of " + std::string(RowOf(event->verb).verb) + " stands", kWhere, "type it without amend"};
}

class Planner {
 public:
  Planner(const State& state, const LogRequest& request, const LogRoom& room, const Shelf* shelf)
      : state_(state), request_(request), room_(room), shelf_(shelf) {}

  Result<LogPlan> Plan() {
    LogRoom reading = room_;
    if (request_.at) reading.now = *request_.at;  // "@-5m" counts from the moment that the writer is at
    std::string text = request_.text;
    if (const auto scan = FindScan(text)) {
      auto label = ParseLabel(scan->label, DayOf(reading.now.ms));
      if (!label.ok()) return label.error();
      const Device* device = DeviceOf(*label);
      AskOfLabel(*label, device);
      if (scan->before.find_first_not_of(' ') == std::string::npos) return Scanned(*label, device, scan->behind, reading);
      text = scan->before + KitWord(device) + BeforeRemark(scan->behind) + " ; " + HumanReadable(*label) + AfterRemark(scan->behind);
    }
    auto line = ParseLogLine(text, reading);
    if (!line.ok()) return line.error();
    switch (line->what) {
      case LogLine::What::kEntry: return Write(std::move(line->data), line->at.value_or(request_.at.value_or(room_.now)), {});
      case LogLine::What::kUndo: return Undo();
      case LogLine::What::kAmend: return Amend(*line);
      case LogLine::What::kWithdraw: {
        auto index = Standing(state_, line->seq);
        if (!index.ok()) return index.error();
        return Withdraw(*index, std::get<Withdrawn>(line->data).reason);
      }
    }
    return LogPlan{};
  }

 private:
  IncomingEntry Make(EntryData data, Instant at, std::string amends) {
    Entry entry;
    entry.id = plan_.entries.empty() && !request_.id.empty() ? request_.id : NewUlid(room_.now, RandomTail());
    entry.at = at;
    entry.written = request_.written.value_or(room_.now);
    entry.by = request_.by;
    entry.device = request_.device;
    entry.amends = std::move(amends);
    entry.kind = KindName(data);
    entry.data = std::move(data);
    return MakeIncoming(std::move(entry));
  }

  // Null: the shelf does not know the number, or it is the invented one and this is no invented case.
  const Device* DeviceOf(const Label& label) const {
    if (!ShelfCounts()) return nullptr;
    const auto found = std::ranges::find_if(shelf_->devices, [&](const Device& each) { return HasNumber(each, label.gtin); });
    return found == shelf_->devices.end() ? nullptr : &*found;
  }
  bool ShelfCounts() const {
    const CaseOpened* opened = CaseInfo(state_);
    return shelf_ != nullptr && (!shelf_->invented || (opened != nullptr && opened->invented));
  }

  void AskOfLabel(const Label& label, const Device* device) {
    if (label.expired) scan_asks_.push_back({"this package expired on " + label.expires, "confirm only if it was used, and say who decided", ""});
    for (const std::string& doubt : label.doubts) scan_asks_.push_back({doubt, "compare it with the print, then confirm", ""});
    const std::string human = HumanReadable(label);
    const bool again = !label.serial.empty() && std::ranges::any_of(UsesOf(state_), [&](const RecordedUse& each) {
      return each.use.gtin == label.gtin && each.use.serial == label.serial;
    });
    if (again) scan_asks_.push_back({"this very package is in the journal already: " + human, "confirm only if it is meant", ""});
    if (device == nullptr) provisional_ = "provisional item " + label.gtin + ": the shelf does not know it, its sizes are not known";
  }

  // The device's id as the log's kit: takes it; empty where it cannot be written so.
  static std::string KitWord(const Device* device) {
    if (device == nullptr || device->id.empty()) return {};
    std::string id;
    for (const char c : device->id) id += c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
    return id.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-._") == std::string::npos && id.size() <= 40 ? "kit:" + id : std::string();
  }
  static std::string BeforeRemark(const std::string& behind) { return behind.substr(0, behind.find(';')); }
  static std::string AfterRemark(const std::string& behind) {
    const auto at = behind.find(';');
    return at == std::string::npos ? std::string() : ";" + behind.substr(at + 1);
  }

  // A label alone: the package was opened.
  Result<LogPlan> Scanned(const Label& label, const Device* device, const std::string& behind, const LogRoom& reading) {
    Instant at = request_.at.value_or(room_.now);
    std::string rest = BeforeRemark(behind);
    if (const auto mark = rest.find('@'); mark != std::string::npos) {
      const auto end = std::min(rest.find(' ', mark), rest.size());
      auto time = ParseLogTime(std::string_view(rest).substr(mark + 1, end - mark - 1), reading);
      if (!time.ok()) return time.error();
      at = *time;
      rest.erase(mark, end - mark);
    }
    if (rest.find_first_not_of(' ') != std::string::npos)
      return Error{"\"" + rest.substr(rest.find_first_not_of(' '), 40) + "\" is not understood after a label", kWhere, "put the verb before the label, or ; before a remark"};
    return Write(NoteWritten{UsedNote(label, device == nullptr ? "" : device->name) + AfterRemark(behind)}, at, {});
  }

  Result<LogPlan> Write(EntryData data, Instant at, const std::string& amends) {
    if (const auto* event = std::get_if<RunEvent>(&data)) {
      if (auto known = CheckKnown(*event); !known.ok()) return known.error();
      RunEvent filled = *event;
      std::vector<LogQuestion> of_kit;
      if (ShelfCounts()) {
        auto asked = FillFromShelf(filled, *shelf_);
        if (!asked.ok()) return asked.error();
        of_kit = std::move(*asked);
      }
      auto checked = CheckEvent(state_, std::move(filled), at, room_, amends);
      if (!checked.ok()) return checked.error();
      plan_.asks = std::move(checked->asks);
      std::ranges::move(of_kit, std::back_inserter(plan_.asks));
      plan_.line = LogText(checked->event);
      data = std::move(checked->event);
    } else {
      plan_.line = request_.text;
    }
    plan_.entries.push_back(Make(std::move(data), at, amends));
    plan_.says = (amends.empty() ? "" : "amended: ") + EntryText(plan_.entries.front().entry);
    if (!provisional_.empty() && !std::holds_alternative<NoteWritten>(plan_.entries.front().entry.data)) plan_.says += " (" + provisional_ + ")";
    std::ranges::move(scan_asks_, std::back_inserter(plan_.asks));
    return std::move(plan_);
  }

  Result<LogPlan> Amend(const LogLine& line) {
    auto index = line.seq > 0 ? Standing(state_, line.seq) : LastOfVerb(state_, line.data);
    if (!index.ok()) return index.error();
    const Entry& held = state_.entries[*index];
    EntryData data = line.only_time ? held.data : line.data;
    if (KindName(data) != held.kind) return Error{"a " + held.kind + " entry cannot become a " + std::string(KindName(data)) + " entry", kWhere, "withdraw it and type the other"};
    return Write(std::move(data), line.at.value_or(held.at), OriginalOf(held));
  }

  // Every version that could stand again is taken out.
  Result<LogPlan> Withdraw(EntryIndex index, const std::string& reason) {
    const std::string original = OriginalOf(state_.entries[index]);
    for (EntryIndex other = 0; other < state_.entries.size(); ++other) {
      const bool could = Stands(state_, other) || state_.status[other] == EntryStatus::kAmended;
      if (!could || !Typed(state_.entries[other]) || OriginalOf(state_.entries[other]) != original) continue;
      plan_.entries.push_back(Make(Withdrawn{reason}, room_.now, state_.entries[other].id));
    }
    plan_.says = "taken back: " + EntryText(state_.entries[index]) + " (" + ClockText(state_.entries[index].at, room_.zone) + ")";
    plan_.line = request_.text;
    return std::move(plan_);
  }

  Result<LogPlan> Undo() {
    for (EntryIndex index = state_.entries.size(); index-- > 0;) {
      const Entry& entry = state_.entries[index];
      if (!Stands(state_, index) || !Typed(entry) || entry.by != request_.by) continue;
      if (room_.now.ms - entry.recorded.ms > kUndo_ms)
        return Error{"the last entry by " + request_.by + " is older than two minutes: " + EntryText(entry), kWhere, "type withdraw #" + std::to_string(entry.seq) + " and why"};
      // Of an amendment only itself: what it amended counts again.
      plan_.entries.push_back(Make(Withdrawn{"undone"}, room_.now, entry.id));
      plan_.says = "taken back: " + EntryText(entry) + " (" + ClockText(entry.at, room_.zone) + ")";
      plan_.line = "undo";
      return std::move(plan_);
    }
    return Error{"there is no entry by " + request_.by + " to take back", kWhere, "see the journal"};
  }

  const State& state_;
  const LogRequest& request_;
  const LogRoom& room_;
  const Shelf* shelf_;
  std::vector<LogQuestion> scan_asks_;  // of a label in the line
  std::string provisional_;             // its number, where the shelf does not know it
  LogPlan plan_;
};

Result<double> ConsoleUnit(std::string_view name, RunField field) {
  for (const RunUnit& unit : RowOf(field).units) {
    std::string small(unit.unit), typed(name);
    for (std::string* text : {&small, &typed})
      for (char& c : *text) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
    if (small == typed) return unit.factor;
  }
  return Error{"\"" + std::string(name.substr(0, 40)) + "\" is no unit of a console", "the lab's room", "write Gy, mGy, Gycm2, cGycm2 or uGym2"};
}

Duration ZoneHere(Instant now) {
  const std::time_t seconds = now.ms / 1000;
  std::tm local{};
  localtime_r(&seconds, &local);
  return Duration::Seconds(static_cast<double>(local.tm_gmtoff));
}

}  // namespace

Status HoldAgainst(State state, std::span<const IncomingEntry> entries, const LogRoom& room) {
  for (std::size_t i = 0; i < entries.size(); ++i) {
    Entry entry = entries[i].entry;
    if (state.places.contains(entry.id)) continue;
    if (const auto* event = std::get_if<RunEvent>(&entry.data)) {
      const std::string where = "entries[" + std::to_string(i) + "]";
      if (auto known = CheckKnown(*event); !known.ok()) return Within(where, known.error());
      if (auto checked = CheckEvent(state, *event, entry.at, room, entry.amends); !checked.ok()) return Within(where, checked.error());
    }
    entry.seq = state.seq + 1;
    entry.recorded = room.now;
    AddEntry(state, std::move(entry));
  }
  return Done{};
}

Result<LogPlan> PlanLog(const State& state, const LogRequest& request, const LogRoom& room, const Shelf* shelf) {
  return Planner(state, request, room, shelf).Plan();
}

Result<LogRoom> RoomOf(const Knowledge& lab, Instant now, std::optional<Duration> zone) {
  LogRoom room{now, zone ? *zone : ZoneHere(now), 1.0, 1.0};
  const KnowledgeText* text = FindKnowledge(lab, "room");
  if (text == nullptr) return room;
  auto members = MembersOf(text->text);
  if (!members.ok()) return Within("the lab's room", members.error());
  for (const auto& [name, value] : *members) {
    if (name != "kerma_unit" && name != "area_unit") continue;
    auto unit = ParseText(value);
    if (!unit.ok()) return Within("the lab's room", unit.error());
    auto factor = ConsoleUnit(*unit, name == "kerma_unit" ? RunField::kKerma : RunField::kArea);
    if (!factor.ok()) return factor.error();
    (name == "kerma_unit" ? room.kerma_unit : room.area_unit) = *factor;
  }
  return room;
}

}  // namespace fairlead
