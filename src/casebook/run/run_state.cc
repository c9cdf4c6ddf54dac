// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_state.h"

#include <algorithm>
#include <charconv>
#include <utility>

namespace fairlead {

std::string_view StrategyWord(Strategy strategy) {
  switch (strategy) {
    case Strategy::kAntegradeWiring: return "AW";
    case Strategy::kAntegradeDissection: return "ADR";
    case Strategy::kRetrogradeWiring: return "RW";
    case Strategy::kRetrogradeDissection: return "RDR";
  }
  return "";
}

std::optional<Strategy> StrategyOf(std::string_view word) {
  for (const Strategy strategy : {Strategy::kAntegradeWiring, Strategy::kAntegradeDissection, Strategy::kRetrogradeWiring,
                                  Strategy::kRetrogradeDissection})
    if (StrategyWord(strategy) == word) return strategy;
  return std::nullopt;
}

bool IsRetrograde(Strategy strategy) {
  return strategy == Strategy::kRetrogradeWiring || strategy == Strategy::kRetrogradeDissection;
}

std::string_view DeviceWord(DeviceKind kind) {
  switch (kind) {
    case DeviceKind::kSheath: return "sheath";
    case DeviceKind::kGuide: return "guide";
    case DeviceKind::kExtension: return "extension";
    case DeviceKind::kWire: return "wire";
    case DeviceKind::kMicrocatheter: return "microcatheter";
    case DeviceKind::kUltrasound: return "ultrasound catheter";
    case DeviceKind::kSnare: return "snare";
    case DeviceKind::kBalloon: return "balloon";
  }
  return "";
}

RunState RunOf(const State& state, std::optional<Instant> until) {
  RunState run;
  for (const EntryIndex index : state.run) {
    const Entry& entry = state.entries[index];
    if (until && entry.at > *until) break;
    Apply(run, entry);
  }
  return run;
}

const RunSession* PresentSession(const RunState& run) { return run.sessions.empty() ? nullptr : &run.sessions.back(); }

const RunAttempt* ActiveAttempt(const RunState& run) {
  if (run.attempts.empty() || run.attempts.back().end) return nullptr;
  return &run.attempts.back();
}

bool RetrogradeActive(const RunState& run) {
  const RunAttempt* attempt = ActiveAttempt(run);
  if (attempt != nullptr && IsRetrograde(attempt->strategy)) return true;
  return !InBody(run, DeviceKind::kMicrocatheter, RunSide::kRetrograde).empty();
}

std::vector<const RunDevice*> InBody(const RunState& run) {
  std::vector<const RunDevice*> in;
  for (const RunDevice& device : run.devices)
    if (!device.out) in.push_back(&device);
  std::ranges::stable_sort(in, {}, [](const RunDevice* device) { return std::pair(device->side, device->kind); });
  return in;
}

std::vector<const RunDevice*> InBody(const RunState& run, DeviceKind kind, RunSide side) {
  std::vector<const RunDevice*> in;
  for (const RunDevice& device : run.devices)
    if (!device.out && device.kind == kind && (side == RunSide::kNone || device.side == side)) in.push_back(&device);
  return in;
}

bool GearInCoronary(const RunState& run) {
  return std::ranges::any_of(run.devices, [](const RunDevice& device) {
    return !device.out && device.kind != DeviceKind::kSheath && device.kind != DeviceKind::kGuide && device.kind != DeviceKind::kSnare;
  });
}

const Trouble* OpenTrouble(const RunState& run, std::string_view kind) {
  const auto found = std::ranges::find_if(run.troubles, [kind](const Trouble& trouble) { return trouble.kind == kind && !trouble.over; });
  return found == run.troubles.end() ? nullptr : &*found;
}

std::string NextTag(const RunState& run, DeviceKind kind) {
  const std::string letter(TagLetter(kind));
  if (letter.empty()) return {};
  int highest = 0;
  for (const RunDevice& device : run.devices) {
    if (device.kind != kind || !device.tag.starts_with(letter)) continue;
    int number = 0;
    std::from_chars(device.tag.data() + letter.size(), device.tag.data() + device.tag.size(), number);
    highest = std::max(highest, number);
  }
  return letter + std::to_string(highest + 1);
}

std::optional<double> HeparinUnits(const RunState& run) {
  std::optional<double> sum;
  for (const auto& dose : run.heparin)
    if (dose.value.route != "drip") sum = sum.value_or(0.0) + dose.value.units;
  return sum;
}

std::optional<Instant> AwaitedSample(const RunState& run) {
  if (!run.act_sent) return std::nullopt;
  const Instant from = run.act_sent->at + Duration::Minutes(-5);  // a reading carries its sample's time, give or take; chosen
  const bool read = std::ranges::any_of(run.acts, [from](const At<ActReading>& act) { return act.at >= from; });
  return read ? std::nullopt : std::optional(run.act_sent->at);
}

std::string_view TagLetter(DeviceKind kind) {
  switch (kind) {
    case DeviceKind::kWire: return "w";
    case DeviceKind::kMicrocatheter: return "m";
    case DeviceKind::kGuide: return "g";
    case DeviceKind::kExtension: return "e";
    case DeviceKind::kSheath:
    case DeviceKind::kUltrasound:
    case DeviceKind::kSnare:
    case DeviceKind::kBalloon: return "";
  }
  return "";
}

const RunDevice* FindInBody(const RunState& run, DeviceKind kind, RunSide side, std::string_view tag) {
  for (auto device = run.devices.rbegin(); device != run.devices.rend(); ++device) {
    if (device->out || device->kind != kind) continue;
    if (tag.empty() ? side == RunSide::kNone || device->side == side : device->tag == tag) return &*device;
  }
  return nullptr;
}

std::string_view FirstPhase(Strategy strategy) {
  switch (strategy) {
    case Strategy::kAntegradeWiring: return "cap";
    case Strategy::kAntegradeDissection: return "entry";
    case Strategy::kRetrogradeWiring:
    case Strategy::kRetrogradeDissection: return "channel";
  }
  return "";
}

bool RatesAWay(const RunEvent& decision) {
  const std::string_view word = WordOf(decision, RunField::kDecision);
  return decision.verb == Verb::kDecide && (word == "closed" || word == "open");
}

bool Over(const RunState& run) { return !run.sessions.empty() && run.sessions.back().end.has_value(); }

double WorkedMinutes(const RunState& run, Instant from, Instant to) {
  const auto shared = [&](Instant begin, Instant end) { return std::max(0.0, (std::min(end, to) - std::max(begin, from)).minutes()); };
  double minutes = std::max(0.0, (to - from).minutes());
  for (const auto& [begin, end] : run.breaks) minutes -= shared(begin, end);
  if (run.pause) minutes -= shared(*run.pause, to);
  return std::max(0.0, minutes);
}

}  // namespace fairlead
