// SPDX-License-Identifier: Apache-2.0
// What the rest of a plan can be worth at most: an exact dynamic programme over (strategies left, budget left) for one
// budget, or one weighted sum of budgets, with the others set aside. With one class of difficulty and one budget it is
// the exact value; else it never lies below the exact value.
#pragma once

#include <vector>

#include "reasoning/strategy/belief_grid.h"
#include "reasoning/strategy/block.h"

namespace fairlead {

class UpperBound {
 public:
  // `mix`: the share of each budget in the sum, each budget taken as 1. All zero: no budget is held. `finer`: so many times
  // the work, for levels that lie closer together.
  UpperBound(const Blocks& blocks, const BeliefGrid& grid, const Spending& mix, int finer = 1);

  // Of what follows, with the strategies in `left` unused (bit k), `taken` spent, and `alive[c]` the chance that the
  // case is of class c and goes on.
  double At(unsigned left, const Spending& taken, const double* alive) const;

  // Whether the table's own budget allows `taken`.
  bool Holds(const Spending& taken) const { return LevelsOf(taken) <= levels_; }

 private:
  struct Step {                    // one block as seen from one grid point
    double value = 0.0;
    GridMix then;
    double alive = 0.0;
  };
  void ChooseLevels(int finer);
  int LevelsOf(const Spending& taken) const;
  std::vector<Step> StepsOf(std::size_t strategy, int minutes) const;
  void Fill();
  void Raise(unsigned left, std::size_t strategy, const std::vector<Step>& steps, int cost);

  const Blocks* blocks_;
  const BeliefGrid* grid_;
  Spending mix_;
  double unit_ = 1.0;              // of the weighted sum
  int levels_ = 0;                 // the whole budget
  std::vector<std::vector<double>> best_;  // by strategies left: grid point x (levels + 1)
};

}  // namespace fairlead
