// SPDX-License-Identifier: Apache-2.0
// What the board says of the run, in words: kept in the journal at each start, switch, phase, stop and gate.
#pragma once

#include <string>

#include "casebook/entry.h"
#include "casebook/fold.h"
#include "casebook/knowledge.h"

namespace fairlead {

// "start", "switch", "phase", "stop", "proof", "gate", "decision"; empty where nothing is kept.
std::string StepOf(const EntryData& data);

// Attempt, totals against their limits, ACT, cautions with their sources, items of gates that are open; at most
// kLongestShown bytes. Of an entry typed late: as it would have read then, and says so.
// `draws` are those behind the bands of which way: of a journal that is told after the event nobody saw a strip, and fewer do.
inline constexpr int kDrawsOnScreen = 200, kDrawsTold = 60;
std::string RunShownText(const State& state, const Knowledge& lab, const Entry& entry, int draws = kDrawsTold);

}  // namespace fairlead
