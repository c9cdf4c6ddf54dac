// SPDX-License-Identifier: Apache-2.0
// A simulated practice: its true chances and times are drawn from the published priors, its attempts from those truths.
// The truth of these tests is what the generator was given, never what was fitted.
#pragma once

#include <cmath>
#include <random>
#include <string>

#include "practice/learning/learn.h"

namespace fairlead {

struct TrueClock {
  double can = 0.0, median_min = 0.0, log_sd = 0.0;
  double AcrossBy(double minutes) const { return can * 0.5 * std::erfc(-std::log(minutes / median_min) / log_sd / std::sqrt(2.0)); }
};

struct SimulatedPractice {
  std::vector<std::array<TrueClock, kDifficulties>> truth;  // by strategy
  Observed observed;
};

// `per_class` attempts for each strategy and class of difficulty; a third of the stops were planned beforehand; lesions
// that cannot be crossed are left `stop_ratio` times as fast.
inline SimulatedPractice Simulate(const Priors& priors, int per_class, double stop_ratio, unsigned seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> share(0.0, 1.0);
  const auto wait = [&](double mean) { return -mean * std::log(1.0 - share(random)); };
  SimulatedPractice practice;
  for (const PriorStrategy& s : priors.strategies) {
    auto& truth = practice.truth.emplace_back();
    const double common_can = normal(random), common_time = normal(random);
    for (std::size_t g = 0; g < kDifficulties; ++g) {
      const double p = s.can[g].value, sd = 1.0 / std::sqrt(s.can[g].spread * p * (1.0 - p));
      const double logit = std::log(p / (1.0 - p)) + sd * (std::sqrt(kTogether) * common_can + std::sqrt(1.0 - kTogether) * normal(random));
      const double time = s.median_min[g].spread * (std::sqrt(kTogether) * common_time + std::sqrt(1.0 - kTogether) * normal(random));
      truth[g] = {1.0 / (1.0 + std::exp(-logit)), s.median_min[g].value * std::exp(time), s.log_sd.value};
      for (int i = 0; i < per_class; ++i) {
        const bool can = share(random) < truth[g].can;
        const double cross = can ? truth[g].median_min * std::exp(truth[g].log_sd * normal(random)) : 1e9;
        const double planned = share(random) < 0.33 ? 20.0 + 40.0 * share(random) : 1e9;
        const double stop = wait(can ? 60.0 : 60.0 / stop_ratio), harm = wait(60.0 / 0.01);
        const double end = std::min({cross, planned, stop, harm});
        ObservedAttempt one{.case_id = s.id + std::to_string(g) + "/" + std::to_string(i), .strategy = s.id, .difficulty = g, .minutes = std::max(kLeastMinutes, end)};
        one.ending = end == cross ? Ending::kCrossed : end == harm ? Ending::kComplication : Ending::kStopped;
        one.planned = end == planned;
        practice.observed.attempts.push_back(std::move(one));
      }
    }
  }
  return practice;
}

}  // namespace fairlead
