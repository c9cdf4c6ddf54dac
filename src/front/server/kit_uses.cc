// SPDX-License-Identifier: Apache-2.0
#include "front/server/kit_uses.h"

#include <algorithm>
#include <optional>
#include <set>
#include <tuple>
#include <utility>

#include "casebook/run_table.h"
#include "front/server/lab_shelf.h"
#include "reasoning/kit/kit_json.h"
#include "reasoning/kit/label.h"

namespace fairlead {
namespace {

constexpr std::string_view kUsed = "used; ";

// A lot has no blank, so that "; " ends the label.
std::optional<Label> LabelWithin(std::string_view text, Instant at) {
  const auto start = text.find("(01)");
  if (start == std::string_view::npos) return std::nullopt;
  text.remove_prefix(start);
  text = text.substr(0, std::min(text.find("; "), text.size()));
  auto label = ParseLabel(text, DayOf(at.ms));
  if (!label.ok()) return std::nullopt;
  return std::move(*label);
}

PackageUse UseOf(const Label& label, bool opened) { return {label.gtin, label.lot, label.serial, {}, {}, opened}; }

bool Stands(const State& state, EntryIndex index) {
  return state.status[index] == EntryStatus::kCounts || state.status[index] == EntryStatus::kAmendment;
}

// When the store had it first: an amendment is no later use.
Instant FirstRecorded(const State& state, const Entry& entry) {
  const auto original = entry.amends.empty() ? state.places.end() : state.places.find(entry.amends);
  return original == state.places.end() ? entry.recorded : state.entries[original->second].recorded;
}

bool OnceACase(Verb verb) { return verb == Verb::kBalloon || verb == Verb::kCut; }
bool GoesIn(Verb verb) { return verb == Verb::kGuide || verb == Verb::kExtension || verb == Verb::kWire || verb == Verb::kMc; }

class UseReader {
 public:
  explicit UseReader(const State& state) : state_(state) {}

  std::vector<RecordedUse> Read() && {
    for (EntryIndex index = 0; index < state_.entries.size(); ++index) {
      if (!Stands(state_, index)) continue;
      const Entry& entry = state_.entries[index];
      if (const auto* note = std::get_if<NoteWritten>(&entry.data)) {
        if (const auto label = note->text.starts_with(kUsed) ? LabelWithin(note->text, entry.at) : std::nullopt) Add(UseOf(*label, true), entry);
      } else if (const auto* event = std::get_if<RunEvent>(&entry.data)) {
        OfEvent(*event, entry);
      }
    }
    return std::move(uses_);
  }

 private:
  void Add(PackageUse use, const Entry& entry) {
    use.visit = entry.case_id;
    uses_.push_back({std::move(use), FirstRecorded(state_, entry)});
  }

  void OfEvent(const RunEvent& event, const Entry& entry) {
    if (const auto label = LabelWithin(event.remark, entry.at)) return Add(UseOf(*label, false), entry);
    const std::string kit(WordOf(event, RunField::kKit));
    if (kit.empty() || WordOf(event, RunField::kMove) == "out") return;
    if (GoesIn(event.verb) || OnceACase(event.verb)) {
      const std::string tag = GoesIn(event.verb) ? std::string(WordOf(event, RunField::kTag)) : std::string();
      const bool first = (GoesIn(event.verb) && tag.empty()) || seen_.emplace(event.verb, tag, kit).second;
      if (!first) return;
    }
    Add({{}, {}, {}, kit}, entry);
  }

  const State& state_;
  std::vector<RecordedUse> uses_;
  std::set<std::tuple<Verb, std::string, std::string>> seen_;
};

}  // namespace

std::string UsedNote(const Label& label, std::string_view name) {
  std::string text(kUsed);
  text += name.empty() ? "provisional item " + label.gtin + ", not on the shelf: its sizes are not known, so neither fit nor reach is" : std::string(name);
  text += "; " + HumanReadable(label);
  if (!label.lot.empty()) text += "; lot " + label.lot;
  if (!label.serial.empty()) text += "; serial " + label.serial;
  if (!label.expires.empty()) text += std::string("; ") + (label.expired ? "EXPIRED " : "expires ") + label.expires;
  return text;
}

std::vector<RecordedUse> UsesOf(const State& state) { return UseReader(state).Read(); }

Result<ShelfLeft> ShelfLeftOf(const Knowledge& lab, const std::vector<RecordedUse>& uses) {
  auto shelf = ShelfOf(lab);
  if (!shelf.ok()) return shelf.error();
  const KnowledgeText* list = FindKnowledge(lab, ShelfPartName(0));
  std::vector<PackageUse> after;
  for (const RecordedUse& each : uses) {
    if (list == nullptr || each.recorded.ms > list->recorded.ms) after.push_back(each.use);
  }
  return LessUses(*shelf, after);
}

}  // namespace fairlead
