// SPDX-License-Identifier: Apache-2.0
// Which strategies, in which order, for how many minutes each: the plan of greatest utility on a one-minute grid.
// While an attempt runs, "not crossed yet" is all that is seen, so the best policy is such a timetable.
#pragma once

#include <cstdint>
#include <stop_token>
#include <vector>

#include "reasoning/strategy/block.h"

namespace fairlead {

struct SolveSettings {
  std::int64_t most_looks = 4'000'000;  // partial plans looked at before the search gives up its proof
  int divisions = 0;                    // of the grid over classes; 0: by the number of classes
  const std::stop_token* gone = nullptr;  // once it is asked to stop the search ends as it stands, unproven
};

struct Solution {
  std::vector<Rung> plan;  // empty: stopping at once is best, or nothing is affordable
  PlanValue value;
  bool proven = true;      // no plan on the grid is better by more than 1e-10
  double gap = 0.0;        // if not proven: none is better by more than this
  std::int64_t looks = 0;
};

// `model` must have passed Check.
Solution Solve(const LadderModel& model, const SolveSettings& settings = {});
Solution Solve(const Blocks& blocks, const SolveSettings& settings = {});

inline bool NobodyWaits(const std::stop_token* gone) { return gone != nullptr && gone->stop_requested(); }

}  // namespace fairlead
