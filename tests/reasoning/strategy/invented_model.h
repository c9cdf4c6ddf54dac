// SPDX-License-Identifier: Apache-2.0
// Invented problems drawn at random, and the plain way to solve them: every order of every subset, every duration.
#pragma once

#include <cmath>
#include <algorithm>
#include <numeric>

#include "imaging/phantom/random.h"
#include "reasoning/strategy/solve.h"

namespace fairlead {

inline LadderModel InventedModel(SeededRandom& random, int strategies, int classes, double minutes) {
  LadderModel model;
  model.class_weights.assign(static_cast<std::size_t>(classes), 1.0 / classes);
  for (int k = 0; k < strategies; ++k) {
    StrategyModel one;
    one.id = "s" + std::to_string(k);
    const double extreme = random.Share();
    for (int c = 0; c < classes; ++c) one.can.push_back(extreme < 0.05 ? 0.0 : extreme > 0.95 ? 1.0 : random.Share());
    const double law = random.Share();
    one.law.kind = law < 0.5 ? LawKind::kExponential : law < 0.75 ? LawKind::kWeibull : LawKind::kGammaMixed;
    one.law.scale_min = random.Within(2, 40);
    one.law.shape = random.Within(0.6, 2.5);
    one.complication_per_min = random.Share() < 0.3 ? 0.0 : random.Within(0, 0.003);
    one.per_min = {1.0, 0.5 * std::floor(random.Within(0, 6)), random.Within(10, 40)};
    one.setup = {std::floor(random.Within(0, 8)), 5 * std::floor(random.Within(0, 5)), random.Within(0, 300)};
    model.strategies.push_back(one);
  }
  model.setup_complication_per_min = random.Within(0, 0.0005);
  model.budget[kMinutes] = minutes;
  if (random.Share() < 0.6) model.budget[kContrastMl] = std::floor(random.Within(10, 3 * minutes));
  if (random.Share() < 0.6) model.budget[kKermaMgy] = random.Within(100, 30 * minutes);
  model.objective = {random.Within(0, 5), random.Share() < 0.5 ? 0.0 : random.Within(0, 0.003), random.Share() < 0.5 ? 0.0 : random.Within(0, 0.3)};
  return model;
}

// The best utility of plans that begin with `plan`.
inline double BestByEnumeration(const Blocks& blocks, std::vector<Rung> plan, Spending taken) {
  double best = Evaluate(blocks, plan).utility;
  for (std::size_t k = 0; k < blocks.strategies(); ++k) {
    if (std::ranges::any_of(plan, [&](const Rung& rung) { return rung.strategy == k; })) continue;
    for (int d = 1; d <= blocks.most(k); ++d) {
      Spending sum = TakenBy(blocks.model().strategies[k], d);
      for (std::size_t r = 0; r < sum.size(); ++r) sum[r] += taken[r];
      if (!Affordable(blocks.model(), sum)) break;
      std::vector<Rung> longer = plan;
      longer.push_back({k, d});
      best = std::max(best, BestByEnumeration(blocks, std::move(longer), sum));
    }
  }
  return best;
}

}  // namespace fairlead
