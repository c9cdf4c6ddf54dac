// SPDX-License-Identifier: Apache-2.0
// Draws from the priors of a ladder: the same problem, with other figures that the priors hold possible. Seeded: the
// same ladder gives the same draws on every run.
#pragma once

#include <cstdint>
#include <vector>

#include "reasoning/strategy/block.h"
#include "reasoning/strategy/ladder.h"

namespace fairlead {

// One problem: chances from beta laws, times and rates from log-normal laws, hazards from gamma laws.
LadderModel DrawnModel(const Ladder& ladder, const Priors& priors, std::uint64_t draw);

// The value of a plan without tables for what it does not use.
PlanValue EvaluateAlone(const LadderModel& model, const std::vector<Rung>& plan);

struct DrawBand {
  double low = 0.0, middle = 0.0, high = 0.0;  // 5, 50 and 95 in 100 draws
};
DrawBand BandOf(std::vector<double> values);  // not empty

}  // namespace fairlead
