// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/block.h"

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

constexpr double kRounding = 1e-9;  // in the budget's own unit

int MostMinutes(const LadderModel& model, const StrategyModel& strategy) {
  double most = kLongestPlanMin;
  for (std::size_t r = 0; r < model.budget.size(); ++r) {
    if (!model.budget[r]) continue;
    const double left = *model.budget[r] - strategy.setup[r] + kRounding;
    if (left < 0.0) return 0;
    if (strategy.per_min[r] > 0.0) most = std::min(most, left / strategy.per_min[r]);
  }
  return static_cast<int>(std::floor(most));
}

// (1 - exp(-hazard t)) / hazard, at hazard 0 its limit t.
double TimeUnder(double hazard, double t) { return hazard > 0.0 ? -std::expm1(-hazard * t) / hazard : t; }

// Chances of `d` minutes of work. With I the integral of S exp(-hazard t) to d:
//   crossed = can (1 - S exp(-hazard d) - hazard I),  complication = hazard (can I + (1 - can) TimeUnder(d)).
BlockOdds Odds(const StrategyModel& strategy, double can, int d, double exposure, double setup_hazard) {
  const double mu = strategy.complication_per_min;
  const double survival = Survival(strategy.law, d), calm = std::exp(-mu * d);
  const double working = can * exposure + (1.0 - can) * TimeUnder(mu, d);
  const double ready = std::exp(-setup_hazard * strategy.setup[kMinutes]);
  BlockOdds odds;
  odds.cross = ready * can * std::max(0.0, 1.0 - survival * calm - mu * exposure);
  odds.complication = -std::expm1(-setup_hazard * strategy.setup[kMinutes]) + ready * mu * working;
  odds.alive = ready * calm * (1.0 - can + can * survival);
  odds.working = ready * working;
  odds.minutes = TimeUnder(setup_hazard, strategy.setup[kMinutes]) + odds.working;
  return odds;
}

}  // namespace

Blocks::Blocks(const LadderModel& model) : Blocks(model, std::vector<int>(model.strategies.size(), kLongestPlanMin)) {}

Blocks::Blocks(const LadderModel& model, const std::vector<int>& caps) : model_(&model) {
  for (std::size_t k = 0; k < model.strategies.size(); ++k) {
    const StrategyModel& strategy = model.strategies[k];
    const int most = std::min(caps[k], MostMinutes(model, strategy));
    const auto exposures = Exposures(strategy.law, strategy.complication_per_min, most);
    std::vector<BlockOdds> odds;
    odds.reserve(model.class_weights.size() * (static_cast<std::size_t>(most) + 1));
    for (const double can : strategy.can) {
      for (int d = 0; d <= most; ++d) {
        odds.push_back(Odds(strategy, can, d, exposures[static_cast<std::size_t>(d)], model.setup_complication_per_min));
      }
    }
    most_.push_back(most);
    odds_.push_back(std::move(odds));
  }
}

Spending TakenBy(const StrategyModel& strategy, int minutes) {
  Spending taken{};
  for (std::size_t r = 0; r < taken.size(); ++r) taken[r] = strategy.setup[r] + strategy.per_min[r] * minutes;
  return taken;
}

bool Affordable(const LadderModel& model, const Spending& taken) {
  for (std::size_t r = 0; r < taken.size(); ++r) {
    if (model.budget[r] && taken[r] > *model.budget[r] + kRounding) return false;
  }
  return true;
}

PlanValue Evaluate(const Blocks& blocks, const std::vector<Rung>& plan) {
  const LadderModel& model = blocks.model();
  PlanValue value;
  double alive_at_end = 0.0;
  for (std::size_t c = 0; c < blocks.classes(); ++c) {
    double alive = model.class_weights[c];
    for (const Rung& rung : plan) {
      const BlockOdds& block = blocks.At(rung.strategy, c, rung.minutes);
      const StrategyModel& strategy = model.strategies[rung.strategy];
      value.p_cross += alive * block.cross;
      value.p_complication += alive * block.complication;
      value.expected[kMinutes] += alive * block.minutes;
      for (const std::size_t r : {kContrastMl, kKermaMgy}) {
        value.expected[r] += alive * (strategy.setup[r] + strategy.per_min[r] * block.working);
      }
      alive *= block.alive;
    }
    alive_at_end += alive;
  }
  for (const Rung& rung : plan) {
    const Spending taken = TakenBy(model.strategies[rung.strategy], rung.minutes);
    for (std::size_t r = 0; r < taken.size(); ++r) value.most[r] += taken[r];
  }
  const Objective& aim = model.objective;
  value.utility = value.p_cross - aim.complication_weight * value.p_complication -
                  aim.minute_cost * value.expected[kMinutes] + aim.stop_value * alive_at_end;
  return value;
}

}  // namespace fairlead
