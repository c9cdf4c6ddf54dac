// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_check.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <optional>
#include <span>

#include "casebook/run/run_state.h"
#include "casebook/run_table.h"

namespace fairlead {
namespace {

constexpr const char* kWhere = "the log line";
constexpr std::int64_t kAhead_ms = 2 * 60'000;     // clocks differ by so much; chosen
constexpr std::int64_t kSameDose_ms = 2 * 60'000;  // the same dose within it is asked about

Error Refused(std::string what, std::string to_do) { return {std::move(what), kWhere, std::move(to_do)}; }

std::optional<DeviceKind> Numbered(Verb verb) {
  if (verb == Verb::kWire) return DeviceKind::kWire;
  if (verb == Verb::kMc) return DeviceKind::kMicrocatheter;
  if (verb == Verb::kGuide) return DeviceKind::kGuide;
  if (verb == Verb::kExtension) return DeviceKind::kExtension;
  return std::nullopt;
}

std::string TagList(const std::vector<const RunDevice*>& devices) {
  std::string list;
  for (const RunDevice* device : devices) list += (list.empty() ? "" : ", ") + (device->tag.empty() ? std::string(DeviceWord(device->kind)) : device->tag);
  return list;
}

// The tag of the one such device in the body; an error if there is none or more than one.
Result<std::string> TheOne(const RunState& run, DeviceKind kind, RunSide side) {
  const auto in = InBody(run, kind, side);
  const std::string of = std::string(side == RunSide::kNone ? "" : SideName(side)) + (side == RunSide::kNone ? "" : " ") + std::string(DeviceWord(kind));
  if (in.empty()) return Refused("no " + of + " is in the body then", "type its way in first, with its time");
  if (in.size() > 1) return Refused("more than one " + of + " is in the body", "say which: " + TagList(in));
  return in.front()->tag;
}

Status Present(const RunState& run, DeviceKind kind, std::string_view tag) {
  if (FindInBody(run, kind, RunSide::kNone, tag) != nullptr) return Done{};
  const auto in = InBody(run, kind);
  return Refused(std::string(tag) + " is not in the body then", in.empty() ? "type its way in first, with its time" : "in the body: " + TagList(in));
}

// The side of a device in the body is known by its number; a side that contradicts it is refused.
Status CompleteSide(const RunDevice* device, RunEvent& event) {
  if (device == nullptr || device->side == RunSide::kNone) return Done{};
  if (event.side == RunSide::kNone) event.side = device->side;
  if (event.side == device->side) return Done{};
  return Refused(device->tag + " is " + std::string(SideName(device->side)), "leave the side out, or name the other device");
}

Status SideSaid(const RunEvent& event) {
  if (event.side != RunSide::kNone || RowOf(event.verb).side != SideUse::kMustSide) return Done{};
  return Refused("the side is missing after " + std::string(RowOf(event.verb).verb), "type a for antegrade or r for retrograde");
}

Status CompleteMove(const RunState& then, const RunState& ever, DeviceKind kind, RunEvent& event) {
  const std::string tag(WordOf(event, RunField::kTag)), move(WordOf(event, RunField::kMove));
  const RunDevice* held = tag.empty() ? nullptr : FindInBody(then, kind, RunSide::kNone, tag);
  const bool in = held != nullptr;
  if (auto side = CompleteSide(held, event); !side.ok()) return side;
  if (move == "out") {
    if (!tag.empty()) return Present(then, kind, tag);
    auto one = TheOne(then, kind, event.side);
    if (!one.ok()) return one.error();
    Put(event, {RunField::kTag, 0.0, *one});
    return Done{};
  }
  if (move == "in" && in) return Refused(tag + " is in the body already", "leave \"in\" out to say more of it");
  if (in) return Done{};
  if (auto side = SideSaid(event); !side.ok()) return side;
  if (tag.empty()) Put(event, {RunField::kTag, 0.0, NextTag(ever, kind)});
  if (move.empty()) Put(event, {RunField::kMove, 0.0, "in"});
  return Done{};
}

// Verbs that speak of a wire in the body.
Status CompleteWire(const RunState& then, RunEvent& event) {
  const bool retrograde = event.verb == Verb::kExternalise || event.verb == Verb::kAorta;
  const std::string tag(WordOf(event, RunField::kTag));
  if (!tag.empty()) {
    const DeviceKind kind = tag.starts_with('w') ? DeviceKind::kWire : DeviceKind::kMicrocatheter;
    if (auto present = Present(then, kind, tag); !present.ok()) return present;
    return CompleteSide(FindInBody(then, kind, RunSide::kNone, tag), event);
  }
  auto one = TheOne(then, DeviceKind::kWire, retrograde ? RunSide::kRetrograde : event.side);
  if (!one.ok()) return one.error();
  Put(event, {RunField::kTag, 0.0, *one});
  return Done{};
}

constexpr std::array<std::string_view, 3> kWiringPhases = {"cap", "body", "lumen"}, kDissectionPhases = {"entry", "tracking", "reentry"};
constexpr std::array<std::string_view, 5> kRetrogradePhases = {"channel", "catheter", "farcap", "joining", "home"};

std::span<const std::string_view> PhasesOf(Strategy strategy) {
  switch (strategy) {
    case Strategy::kAntegradeWiring: return kWiringPhases;
    case Strategy::kAntegradeDissection: return kDissectionPhases;
    case Strategy::kRetrogradeWiring:
    case Strategy::kRetrogradeDissection: return kRetrogradePhases;
  }
  return {};
}

Status CheckAttempt(const RunState& then, const RunEvent& event, Instant at, const LogRoom& room) {
  const RunAttempt* active = ActiveAttempt(then);
  if (event.verb == Verb::kStart || event.verb == Verb::kDistal) return Done{};
  if (active == nullptr) {
    std::string to_do = "type start with the strategy and its time first";
    if (event.verb == Verb::kSwitch) to_do = "type start " + std::string(WordOf(event, RunField::kStrategy));
    return Refused("no attempt was running at " + ClockText(at, room.zone), to_do);
  }
  if (event.verb == Verb::kSwitch && WordOf(event, RunField::kStrategy) == StrategyWord(active->strategy) && WordOf(event, RunField::kChannel).empty())
    return Refused(std::string(StrategyWord(active->strategy)) + " is running already", "type phase, or the strategy that it changes to");
  if (event.verb != Verb::kPhase) return Done{};
  const auto phases = PhasesOf(active->strategy);
  if (std::ranges::find(phases, WordOf(event, RunField::kPhase)) != phases.end()) return Done{};
  std::string list;
  for (const std::string_view phase : phases) list += (list.empty() ? "" : ", ") + std::string(phase);
  return Refused("\"" + std::string(WordOf(event, RunField::kPhase)) + "\" is no phase of " + std::string(StrategyWord(active->strategy)), "its phases: " + list);
}

Status CheckDecision(const RunEvent& event) {
  const std::string decision(WordOf(event, RunField::kDecision)), strategy(WordOf(event, RunField::kStrategy));
  const std::string reason(WordOf(event, RunField::kReason)), step(WordOf(event, RunField::kKind));
  if (decision == "try") {
    if (!strategy.empty() || !WordOf(event, RunField::kChannel).empty()) return Refused("a way is begun, not tried", "type start or switch with the way, or decide try with what will not go and the step");
    if (reason.empty() || step.empty()) return Refused(reason.empty() ? "what will not go is not said" : "what is tried is not said", "type decide try with a reason and a step, as in decide try cap-hard extension");
    return Done{};
  }
  if (!reason.empty() || !step.empty()) return Refused("a reason or a step is named only with what is tried", "type decide " + decision + " alone, or decide try cap-hard extension");
  if (RatesAWay(event)) return strategy.empty() ? Status(Refused("which way is " + decision + " is not said", "type decide " + decision + " with AW, ADR, RW or RDR, and a channel as c1")) : Done{};
  if (strategy.empty() && WordOf(event, RunField::kChannel).empty()) return Done{};
  return Refused("a way is named only where it is closed, or open again", "type decide " + decision + " alone, or decide closed " + (strategy.empty() ? "RW" : strategy));
}

// Two numbers of which the first cannot be the greater.
Status InOrder(const RunEvent& event, RunField least, RunField most) {
  const auto low = NumberOf(event, least), high = NumberOf(event, most);
  if (!low || !high || *low <= *high) return Done{};
  return Refused("the " + std::string(RowOf(least).label) + " is above the " + std::string(RowOf(most).label), "look at the source again and type what it says");
}

Status Complete(const RunState& then, const RunState& ever, RunEvent& event, Instant at, const LogRoom& room) {
  if (const auto kind = Numbered(event.verb)) return CompleteMove(then, ever, *kind, event);
  if (event.verb == Verb::kSpace || event.verb == Verb::kKnuckle || event.verb == Verb::kExternalise || event.verb == Verb::kAorta) return CompleteWire(then, event);
  if (event.verb == Verb::kBp) return InOrder(event, RunField::kDiastolic, RunField::kSystolic);
  if (event.verb == Verb::kEem) return InOrder(event, RunField::kEemMin, RunField::kEemMax);
  if (event.verb == Verb::kInject && event.side == RunSide::kNone && WordOf(event, RunField::kState).empty())
    return Refused("from which side is not said after inject", "type a, r or both");
  if (event.verb == Verb::kDecide) return CheckDecision(event);
  if (event.verb == Verb::kSwitch || event.verb == Verb::kStopped || event.verb == Verb::kPhase) return CheckAttempt(then, event, at, room);
  return Done{};
}

void AskOfTotal(const RunState& then, const RunEvent& event, const LogRoom& room, std::vector<LogQuestion>& asks) {
  const auto total = NumberOf(event, RunField::kTotal);
  if (event.verb != Verb::kContrast || !total || then.contrast.empty() || *total >= then.contrast.back().value) return;
  const At<double>& last = then.contrast.back();
  asks.push_back({"the contrast total was " + std::to_string(std::lround(last.value)) + " mL at " + ClockText(last.at, room.zone) + " and cannot fall",
                  "amend that entry with the total that is right", last.entry});
}

void AskOfConsole(const Console& console, std::optional<double> said, const RunEvent& event, const LogRoom& room, std::vector<LogQuestion>& asks) {
  constexpr double kBack = 0.010;  // 10 mGy
  if (!said || console.sums.empty() || *said >= console.last - kBack || !WordOf(event, RunField::kExam).empty()) return;
  asks.push_back({"the console said more at " + ClockText(console.sums.back().at, room.zone), "a new examination is typed with the word new; else amend what was wrong",
                  console.sums.back().entry});
}

bool IsDose(Verb verb) { return verb == Verb::kHep || verb == Verb::kProtamine || verb == Verb::kDrug || verb == Verb::kContrast; }

void AskOfSameDose(const State& state, const RunEvent& event, Instant at, const LogRoom& room, const std::string& replaces, std::vector<LogQuestion>& asks) {
  if (!IsDose(event.verb) || NumberOf(event, RunField::kTotal)) return;
  for (const EntryIndex index : state.run) {
    const Entry& entry = state.entries[index];
    const auto* held = std::get_if<RunEvent>(&entry.data);
    const bool replaced = !replaces.empty() && (entry.id == replaces || entry.amends == replaces);
    if (held == nullptr || replaced || held->verb != event.verb || held->values != event.values) continue;
    if (std::abs(entry.at.ms - at.ms) > kSameDose_ms) continue;
    asks.push_back({"the same dose stands at " + ClockText(entry.at, room.zone) + " by " + entry.by, "confirm it if it was given twice", entry.id});
    return;
  }
}

// Without the entry that an amendment replaces, whichever version of it stands.
State Without(const State& state, const std::string& replaces) {
  State rest = state;
  std::erase_if(rest.run, [&](EntryIndex index) { return state.entries[index].id == replaces || state.entries[index].amends == replaces; });
  return rest;
}

}  // namespace

Result<CheckedEvent> CheckEvent(const State& whole, RunEvent event, Instant at, const LogRoom& room, const std::string& replaces) {
  if (at.ms > room.now.ms + kAhead_ms) return Refused(ClockText(at, room.zone) + " is still to come", "type when it happened");
  const State rest = replaces.empty() ? State{} : Without(whole, replaces);
  const State& state = replaces.empty() ? whole : rest;
  const RunState then = RunOf(state, at), ever = RunOf(state);
  if (auto complete = Complete(then, ever, event, at, room); !complete.ok()) return complete.error();
  CheckedEvent checked{std::move(event), {}};
  AskOfTotal(then, checked.event, room, checked.asks);
  if (checked.event.verb == Verb::kAk) AskOfConsole(then.air_kerma, NumberOf(checked.event, RunField::kKerma), checked.event, room, checked.asks);
  if (checked.event.verb == Verb::kDap) AskOfConsole(then.kerma_area, NumberOf(checked.event, RunField::kArea), checked.event, room, checked.asks);
  if (checked.event.verb == Verb::kFluoro) AskOfConsole(then.fluoro, NumberOf(checked.event, RunField::kFluoro), checked.event, room, checked.asks);
  AskOfSameDose(state, checked.event, at, room, replaces, checked.asks);
  return checked;
}

std::vector<std::string> TagsInBody(const State& state) {
  std::vector<std::string> tags;
  const RunState run = RunOf(state);
  for (const RunDevice* device : InBody(run))
    if (!device->tag.empty()) tags.push_back(device->tag);
  return tags;
}

std::string ClockText(Instant at, Duration zone) {
  constexpr std::int64_t kDay_ms = 86'400'000;
  const std::int64_t local = at.ms + static_cast<std::int64_t>(zone.milliseconds());
  const std::int64_t minute = (((local % kDay_ms) + kDay_ms) % kDay_ms) / 60'000;
  const auto two = [](std::int64_t value) { return (value < 10 ? "0" : "") + std::to_string(value); };
  return two(minute / 60) + ":" + two(minute % 60);
}

}  // namespace fairlead
