// SPDX-License-Identifier: Apache-2.0
// What one strategy does in a given number of minutes, for each class of difficulty; and plans made of such blocks.
#pragma once

#include <vector>

#include "reasoning/strategy/model.h"

namespace fairlead {

// Given that the case is alive (neither crossed nor complicated) when the block's set-up begins. The three chances add
// up to 1.
struct BlockOdds {
  double cross = 0.0;
  double complication = 0.0;
  double alive = 1.0;
  double minutes = 0.0;  // expected, set-up and work
  double working = 0.0;  // expected minutes of work
};

// `minutes` of work for every whole number of minutes up to the most that the budgets allow.
class Blocks {
 public:
  explicit Blocks(const LadderModel& model);
  // Only up to so many minutes of each strategy: enough for one plan, and much cheaper.
  Blocks(const LadderModel& model, const std::vector<int>& most);
  const LadderModel& model() const { return *model_; }
  std::size_t strategies() const { return most_.size(); }
  std::size_t classes() const { return model_->class_weights.size(); }
  int most(std::size_t strategy) const { return most_[strategy]; }
  const BlockOdds& At(std::size_t strategy, std::size_t of_class, int minutes) const {
    return odds_[strategy][of_class * static_cast<std::size_t>(most_[strategy] + 1) + static_cast<std::size_t>(minutes)];
  }

 private:
  const LadderModel* model_;  // outlives the blocks
  std::vector<int> most_;
  std::vector<std::vector<BlockOdds>> odds_;
};

struct Rung {
  std::size_t strategy = 0;
  int minutes = 0;
};

struct PlanValue {
  double utility = 0.0;
  double p_cross = 0.0;
  double p_complication = 0.0;
  Spending expected{};  // minutes, mL, mGy
  Spending most{};      // if nothing ends the plan early: what the budgets are held against
};

// The value of working through the rungs in order. A strategy appears at most once.
PlanValue Evaluate(const Blocks& blocks, const std::vector<Rung>& plan);

// What a block of a strategy takes from the budgets at most.
Spending TakenBy(const StrategyModel& strategy, int minutes);

// Within the budgets, up to rounding of the sums.
bool Affordable(const LadderModel& model, const Spending& taken);

}  // namespace fairlead
