// SPDX-License-Identifier: Apache-2.0
// Draws from the priors of a ladder: the same problem, with other figures that the priors hold possible. Seeded: the
// same ladder gives the same draws on every run.
#pragma once

#include <cstdint>
#include <vector>

#include "reasoning/strategy/block.h"
#include "reasoning/strategy/ladder.h"

namespace fairlead {

// One problem: chances from beta laws, times and rates from log-normal laws, hazards from gamma laws; conditioned on what
// the run has seen as the ladder itself is.
struct DrawnLadder {
  LadderModel model;
  double weight = 1.0;  // how likely these figures made what the run has seen: "not crossed yet" is itself data
};
DrawnLadder DrawnModel(const Ladder& ladder, const Priors& priors, std::uint64_t draw);

// The value of a plan without tables for what it does not use.
PlanValue EvaluateAlone(const LadderModel& model, const std::vector<Rung>& plan);

// The values of several plans on each draw; one set of tables serves all plans of a draw.
struct DrawnValues {
  std::vector<double> weights;
  std::vector<std::vector<PlanValue>> by_plan;  // plan x draw
};
DrawnValues ValuesUnder(const std::vector<DrawnLadder>& draws, const std::vector<std::vector<Rung>>& plans);

struct DrawBand {
  double low = 0.0, middle = 0.0, high = 0.0;  // 5, 50 and 95 in 100 draws
};
// Neither is empty; as many weights as values. All weights 0: as if they were 1.
DrawBand BandOf(const std::vector<double>& values, const std::vector<double>& weights);

}  // namespace fairlead
