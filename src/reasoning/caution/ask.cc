// SPDX-License-Identifier: Apache-2.0
// What several rules ask of the run.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "reasoning/caution/rule.h"

namespace fairlead {

std::string Whole(double value) { return std::to_string(std::lround(value)); }

std::string Tenths(double value) {
  std::array<char, 32> text{};
  const int length = std::snprintf(text.data(), text.size(), "%.1f", value);
  return {text.data(), static_cast<std::size_t>(std::max(length, 0))};
}

bool Running(const RunState& run) { return !run.sessions.empty() && !Over(run); }
bool Crossed(const RunState& run) { return run.distal_proven.has_value(); }
const At<ActReading>* LastAct(const RunState& run) { return run.acts.empty() ? nullptr : &run.acts.back(); }
const At<HeparinDose>* FirstHeparin(const RunState& run) { return run.heparin.empty() ? nullptr : &run.heparin.front(); }
std::size_t WiresIn(const RunState& run) { return InBody(run, DeviceKind::kWire).size(); }
double Contrast(const RunState& run) { return run.contrast.empty() ? 0.0 : run.contrast.back().value; }
double Kerma(const RunState& run) { return run.air_kerma.sums.empty() ? 0.0 : run.air_kerma.sums.back().value; }

std::optional<Instant> ProcedureStart(const RunState& run) {
  const RunSession* session = PresentSession(run);
  return session == nullptr ? std::nullopt : std::optional(session->access.value_or(session->start));
}

bool Ticked(const RunState& run, std::string_view gate, std::string_view item) {
  const auto found = run.ticks.find(std::pair(std::string(gate), std::string(item)));
  return found != run.ticks.end() && found->second.value.state != "not";
}

std::optional<double> LastSystolic(const RunState& run) {
  return run.pressures.empty() ? std::nullopt : std::optional(run.pressures.back().value.systolic);
}

const Trouble* AnyTrouble(const RunState& run, std::string_view kind) {
  const auto found = std::find_if(run.troubles.rbegin(), run.troubles.rend(), [kind](const Trouble& trouble) { return trouble.kind == kind; });
  return found == run.troubles.rend() ? nullptr : &*found;
}

bool Due(const RunState& run, std::string_view kind) {
  return std::ranges::any_of(run.follow_ups, [kind](const At<RunEvent>& entry) { return WordOf(entry.value, RunField::kKind) == kind; });
}

}  // namespace fairlead
