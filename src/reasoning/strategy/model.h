// SPDX-License-Identifier: Apache-2.0
// The planning problem: strategies that may or may not be able to cross, their clocks, costs and hazards, and budgets.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "measure/result.h"
#include "reasoning/strategy/law.h"

namespace fairlead {

// What a run consumes. Index into Spending.
enum Spent : std::size_t { kMinutes = 0, kContrastMl = 1, kKermaMgy = 2 };
using Spending = std::array<double, 3>;

struct StrategyModel {
  std::string id;
  std::vector<double> can;          // chance that it can cross this lesion at all, one for each class of difficulty
  ClockLaw law;                     // of the crossing time, given that it can
  double complication_per_min = 0.0;
  Spending per_min{1.0, 0.0, 0.0};  // minutes, mL and mGy for each minute of work
  Spending setup{};                 // once, before the first minute
};

struct Objective {
  double complication_weight = 1.0;  // a crossing is worth 1
  double minute_cost = 0.0;
  double stop_value = 0.0;           // worth of leaving safely without having crossed (a later session)
};

struct LadderModel {
  std::vector<StrategyModel> strategies;
  std::vector<double> class_weights{1.0};
  double setup_complication_per_min = 0.0;
  std::array<std::optional<double>, 3> budget{};  // absent: no limit
  Objective objective;
};

inline constexpr std::size_t kMostStrategies = 8;
inline constexpr std::size_t kMostClasses = 16;
inline constexpr int kLongestPlanMin = 600;  // where no limit of time is given; chosen: far beyond any session

// The error names the member that is wrong.
Status Check(const LadderModel& model);

// The same problem after `minutes` of `strategy` without crossing or complication, its set-up behind it: the classes
// are reweighted, its clock stands at `minutes`, the budgets are less what it took.
LadderModel AfterTrying(LadderModel model, std::size_t strategy, double minutes);

// Without one strategy.
LadderModel Without(LadderModel model, std::size_t strategy);

}  // namespace fairlead
