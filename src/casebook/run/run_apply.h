// SPDX-License-Identifier: Apache-2.0
// How each kind of verb changes the state of the run. Inside this room only.
#pragma once

#include "casebook/run/run_state.h"

namespace fairlead {

// An event in the fold: what, when, and the entry that says it.
struct Told {
  const RunEvent& event;
  Instant at;
  const std::string& entry;
  template <typename T>
  At<T> As(T value) const { return {std::move(value), at, entry}; }
};

void ApplyAttempt(RunState& run, const Told& told);   // start, switch, stopped, phase, crossed, distal, collateral
void ApplyDevice(RunState& run, const Told& told);    // what goes in and out, and where a wire is
void ApplyTreatment(RunState& run, const Told& told);
void ApplyTotal(RunState& run, const Told& told);
void ApplyBlood(RunState& run, const Told& told);
void ApplyLook(RunState& run, const Told& told);
void ApplyTrouble(RunState& run, const Told& told);
void ApplySession(RunState& run, const Told& told);   // time-out, access, closure, end, result, break, prior, ticks

void CloseAttempt(RunState& run, const Told& told, AttemptEnd ended);
void Progress(RunState& run, const Told& told, std::string_view next_phase);

}  // namespace fairlead
