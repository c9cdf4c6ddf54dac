// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/model.h"

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

Error Wrong(std::string what, std::string where, std::string to_do) {
  return Error{std::move(what), std::move(where), std::move(to_do)};
}

bool Share(double p) { return p >= 0.0 && p <= 1.0; }
bool Amount(double x) { return x >= 0.0 && std::isfinite(x); }

Status CheckStrategy(const StrategyModel& strategy, std::size_t classes) {
  const std::string where = "strategy " + strategy.id;
  if (strategy.id.empty()) return Wrong("a strategy has no id", "strategies", "give each its own id");
  if (strategy.can.size() != classes) return Wrong("a class lacks its chance", where, "give can for each class");
  if (!std::ranges::all_of(strategy.can, Share)) return Wrong("can is not between 0 and 1", where, "give a probability");
  if (!(strategy.law.scale_min > 0.0) || !std::isfinite(strategy.law.scale_min)) {
    return Wrong("the time scale is not above 0", where, "give mean_min or scale_min in minutes, above 0");
  }
  if (!(strategy.law.shape > 0.0) || !std::isfinite(strategy.law.shape)) {
    return Wrong("shape is not above 0", where, "give a shape above 0");
  }
  if (!Amount(strategy.complication_per_min)) {
    return Wrong("complication_per_min is below 0", where, "give a hazard of 0 or more");
  }
  if (!std::ranges::all_of(strategy.per_min, Amount) || !std::ranges::all_of(strategy.setup, Amount)) {
    return Wrong("a rate or a set-up is below 0", where, "give amounts of 0 or more");
  }
  return Done{};
}

Status CheckClasses(const LadderModel& model) {
  double sum = 0.0;
  for (const double weight : model.class_weights) {
    if (!Share(weight)) return Wrong("a weight is not between 0 and 1", "classes", "give shares that add up to 1");
    sum += weight;
  }
  if (std::abs(sum - 1.0) > 1e-6) return Wrong("the weights do not add up to 1", "classes", "give shares of 1");
  if (model.class_weights.size() > kMostClasses) return Wrong("there are more than 16 classes", "classes", "give fewer");
  return Done{};
}

}  // namespace

Status Check(const LadderModel& model) {
  if (model.strategies.size() > kMostStrategies) {
    return Wrong("there are more than 8 strategies", "strategies", "leave the least likely out");
  }
  if (auto classes = CheckClasses(model); !classes.ok()) return classes;
  for (std::size_t i = 0; i < model.strategies.size(); ++i) {
    if (auto one = CheckStrategy(model.strategies[i], model.class_weights.size()); !one.ok()) return one;
    for (std::size_t j = 0; j < i; ++j) {
      if (model.strategies[j].id == model.strategies[i].id) {
        return Wrong("two strategies have the same id", "strategy " + model.strategies[i].id, "give each its own id");
      }
    }
  }
  for (const auto& limit : model.budget) {
    if (limit && !Amount(*limit)) return Wrong("a limit is below 0", "budget", "give 0 or more, or leave it out");
  }
  if (!Amount(model.setup_complication_per_min)) {
    return Wrong("setup_complication_per_min is below 0", "the model", "give a hazard of 0 or more");
  }
  const Objective& aim = model.objective;
  if (!Amount(aim.complication_weight) || !Amount(aim.minute_cost) || !Share(aim.stop_value)) {
    return Wrong("a weight is below 0, or stop_value is not a share", "objective", "give weights of 0 or more");
  }
  return Done{};
}

LadderModel AfterTrying(LadderModel model, std::size_t which, double minutes) {
  StrategyModel& tried = model.strategies[which];
  const double survival = Survival(tried.law, minutes);
  double sum = 0.0;
  for (std::size_t c = 0; c < model.class_weights.size(); ++c) {
    const double still = 1.0 - tried.can[c] + tried.can[c] * survival;
    model.class_weights[c] *= still;
    sum += model.class_weights[c];
    tried.can[c] = still > 0.0 ? tried.can[c] * survival / still : 0.0;
  }
  // Certain to cross at once and yet not across: the model has nothing to say; the weights stay as they were.
  for (double& weight : model.class_weights) weight = sum > 0.0 ? weight / sum : 1.0 / static_cast<double>(model.class_weights.size());
  tried.law.elapsed_min += minutes;
  for (std::size_t r = 0; r < model.budget.size(); ++r) {
    if (model.budget[r]) *model.budget[r] = std::max(0.0, *model.budget[r] - tried.setup[r] - tried.per_min[r] * minutes);
  }
  tried.setup = {};
  return model;
}

LadderModel Without(LadderModel model, std::size_t strategy) {
  model.strategies.erase(model.strategies.begin() + static_cast<std::ptrdiff_t>(strategy));
  return model;
}

}  // namespace fairlead
