// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/draws.h"

#include <algorithm>
#include <cmath>
#include <numbers>

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

}  // namespace

LadderModel DrawnModel(const Ladder& ladder, const Priors& priors, std::uint64_t draw) {
  LadderModel model = ladder.model;
  SeededRandom random(0xFA1D + draw * 7919);
  for (std::size_t k = 0; k < model.strategies.size(); ++k) {
    StrategyModel& strategy = model.strategies[k];
    const LadderStrategy& described = ladder.strategies[k];
    const PriorStrategy& prior = priors.strategies[described.prior];
    // The run has moved the chances already; the draw moves them by as much as it moves the prior's odds.
    const double mean = std::clamp(described.can, 1e-9, 1.0 - 1e-9);
    const double drawn = std::clamp(Beta(random, mean, described.can_spread), 1e-9, 1.0 - 1e-9);
    const double odds = drawn / (1.0 - drawn) / (mean / (1.0 - mean));
    for (double& can : strategy.can) can = can <= 0.0 || can >= 1.0 ? can : can * odds / (1.0 - can + can * odds);
    strategy.law.scale_min *= LogNormalFactor(random, described.median_from.spread);
    const double worth = prior.complication_per_hour.spread;
    if (worth > 0.0) strategy.complication_per_min *= Gamma(random, worth) / worth;
    strategy.per_min[kContrastMl] *= LogNormalFactor(random, prior.contrast_ml_per_min.spread);
    strategy.per_min[kKermaMgy] *= LogNormalFactor(random, prior.kerma_mgy_per_min.spread);
  }
  return model;
}

PlanValue EvaluateAlone(const LadderModel& model, const std::vector<Rung>& plan) {
  std::vector<int> most(model.strategies.size(), 0);
  LadderModel free = model;  // what a plan was made to cost is not held against other rates
  free.budget = {};
  for (const Rung& rung : plan) most[rung.strategy] = std::max(most[rung.strategy], rung.minutes);
  return Evaluate(Blocks(free, most), plan);
}

DrawBand BandOf(std::vector<double> values) {
  std::ranges::sort(values);
  const auto at = [&](double share) {
    const double place = share * static_cast<double>(values.size() - 1);
    const auto i = static_cast<std::size_t>(place);
    const double next = values[std::min(i + 1, values.size() - 1)];
    return values[i] + (place - static_cast<double>(i)) * (next - values[i]);
  };
  return {at(0.05), at(0.5), at(0.95)};
}

}  // namespace fairlead
