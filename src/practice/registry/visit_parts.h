// SPDX-License-Identifier: Apache-2.0
// The parts of a visit beside its row. Inside this room only.
#pragma once

#include <optional>
#include <vector>

#include "practice/registry/visit.h"

namespace fairlead {

struct BreakSpan {
  Instant start, end;
};
// Breaks between two moments; one that nobody ended lasts until the run's next entry.
std::vector<BreakSpan> BreaksOf(const State& state, Instant from, Instant to);

std::vector<VisitAttempt> AttemptsOf(const RunState& run, Instant began, const std::vector<BreakSpan>& breaks);
// The way that the ladder's line in what the screen said put next, the last time in [from, until) that it was shown.
std::string LadderNext(const State& state, Instant from, Instant until);
std::vector<VisitDevice> DevicesOf(const RunState& run, Instant began);
std::vector<VisitTrouble> TroublesOf(const RunState& run, Instant began);
std::optional<double> LongestActGap(const RunState& run, Instant ended);

}  // namespace fairlead
