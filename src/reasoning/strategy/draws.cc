// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/draws.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "imaging/phantom/random.h"

namespace fairlead {
namespace {

double Normal(SeededRandom& random) {
  const double u = 1.0 - random.Share(), v = random.Share();
  return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
}

// ACM Trans Math Softw 2000;26(3):363-372, doi 10.1145/358407.358414; shapes below 1 by the usual power of a uniform.
double Gamma(SeededRandom& random, double shape) {
  if (shape < 1.0) return Gamma(random, shape + 1.0) * std::pow(1.0 - random.Share(), 1.0 / shape);
  const double d = shape - 1.0 / 3.0, c = 1.0 / std::sqrt(9.0 * d);
  for (;;) {
    const double x = Normal(random), v = std::pow(1.0 + c * x, 3.0);
    if (v <= 0.0) continue;
    if (std::log(1.0 - random.Share()) < 0.5 * x * x + d - d * v + d * std::log(v)) return d * v;
  }
}

double Beta(SeededRandom& random, double mean, double worth) {
  if (mean <= 0.0 || mean >= 1.0 || worth <= 0.0) return mean;
  const double a = Gamma(random, mean * worth), b = Gamma(random, (1.0 - mean) * worth);
  return a + b > 0.0 ? a / (a + b) : mean;
}

double LogNormalFactor(SeededRandom& random, double log_sd) { return std::exp(log_sd * Normal(random)); }

// What the run has seen, on this draw's figures; the result is how likely they made it.
double Condition(const Ladder& ladder, const Priors& priors, const std::vector<double>& median_min, LadderModel& model) {
  double weight = 1.0;
  for (const SeenSoFar& seen : ladder.seen) {
    StrategyModel& strategy = model.strategies[seen.strategy];
    std::vector<double> likelihood;
    if (seen.phase) {
      ReachedPhase reached = Reached(std::move(strategy), priors.strategies[ladder.all[seen.strategy].prior], median_min[seen.strategy], *seen.phase, seen.minutes, PhaseGrid::kCoarse);
      strategy = std::move(reached.strategy);
      likelihood = std::move(reached.likelihood);
    } else {
      const double survival = Survival(strategy.law, seen.minutes);
      for (const double can : strategy.can) likelihood.push_back(1.0 - can + can * survival);
    }
    double sum = 0.0;
    for (std::size_t c = 0; c < likelihood.size(); ++c) sum += model.class_weights[c] * likelihood[c];
    weight *= sum;
    if (!seen.phase) {
      model = AfterTrying(std::move(model), seen.strategy, seen.minutes);
      continue;
    }
    for (std::size_t c = 0; c < likelihood.size(); ++c)
      model.class_weights[c] = sum > 0.0 ? model.class_weights[c] * likelihood[c] / sum : 1.0 / static_cast<double>(likelihood.size());
  }
  return weight;
}

}  // namespace

DrawnLadder DrawnModel(const Ladder& ladder, const Priors& priors, std::uint64_t draw) {
  LadderModel whole = ladder.before;
  std::vector<double> median_min;
  SeededRandom random(0xFA1D + draw * 7919);
  for (std::size_t k = 0; k < whole.strategies.size(); ++k) {
    StrategyModel& strategy = whole.strategies[k];
    const LadderStrategy& described = ladder.all[k];
    const PriorStrategy& prior = priors.strategies[described.prior];
    strategy.can = ChancesByClass(Beta(random, described.can, described.can_spread), priors);
    const double slower = LogNormalFactor(random, described.median_from.spread);
    strategy.law.scale_min *= slower;
    median_min.push_back(described.median_min * slower);
    const double worth = prior.complication_per_hour.spread;
    if (worth > 0.0) strategy.complication_per_min *= Gamma(random, worth) / worth;
    strategy.per_min[kContrastMl] *= LogNormalFactor(random, prior.contrast_ml_per_min.spread);
    strategy.per_min[kKermaMgy] *= LogNormalFactor(random, prior.kerma_mgy_per_min.spread);
  }
  DrawnLadder drawn{ladder.model, Condition(ladder, priors, median_min, whole)};
  drawn.model.class_weights = whole.class_weights;
  for (std::size_t k = 0; k < ladder.strategies.size(); ++k) {
    const auto from = std::ranges::find(ladder.all, ladder.strategies[k].id, &LadderStrategy::id) - ladder.all.begin();
    drawn.model.strategies[k] = std::move(whole.strategies[static_cast<std::size_t>(from)]);
  }
  return drawn;
}

PlanValue EvaluateAlone(const LadderModel& model, const std::vector<Rung>& plan) {
  return ValuesUnder({{model, 1.0}}, {plan}).by_plan.front().front();
}

DrawnValues ValuesUnder(const std::vector<DrawnLadder>& draws, const std::vector<std::vector<Rung>>& plans) {
  DrawnValues values;
  values.by_plan.resize(plans.size());
  for (const DrawnLadder& draw : draws) {
    std::vector<int> most(draw.model.strategies.size(), 0);
    for (const auto& plan : plans)
      for (const Rung& rung : plan) most[rung.strategy] = std::max(most[rung.strategy], rung.minutes);
    LadderModel free = draw.model;  // what a plan was made to cost is not held against other rates
    free.budget = {};
    const Blocks blocks(free, most);
    for (std::size_t i = 0; i < plans.size(); ++i) values.by_plan[i].push_back(Evaluate(blocks, plans[i]));
    values.weights.push_back(draw.weight);
  }
  return values;
}

// A weighted quantile: each value stands at the middle of its own weight.
DrawBand BandOf(const std::vector<double>& values, const std::vector<double>& weights) {
  std::vector<std::pair<double, double>> sorted;
  double sum = 0.0;
  for (const double weight : weights) sum += weight;
  for (std::size_t i = 0; i < values.size(); ++i) sorted.emplace_back(values[i], sum > 0.0 ? weights[i] / sum : 1.0 / static_cast<double>(values.size()));
  std::ranges::sort(sorted);
  const auto at = [&](double share) {
    double below = 0.0, last = sorted.front().first, last_place = 0.0;
    for (const auto& [value, weight] : sorted) {
      const double place = below + 0.5 * weight;
      if (place >= share) return place > last_place ? last + (share - last_place) / (place - last_place) * (value - last) : value;
      below += weight, last = value, last_place = place;
    }
    return sorted.back().first;
  };
  return {at(0.05), at(0.5), at(0.95)};
}

}  // namespace fairlead
