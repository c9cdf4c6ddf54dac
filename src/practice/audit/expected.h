// SPDX-License-Identifier: Apache-2.0
// What was seen against what a reference model expected, case by case. The count follows the law of unequal chances
// (Poisson-binomial), not Poisson's: that would overstate the spread.
#pragma once

#include <span>
#include <vector>

#include "measure/result.h"
#include "practice/audit/proportion.h"

namespace fairlead {

// One case as a chart sees it: the chance that the reference gave the bad event, and whether it came.
struct Judged {
  double expected = 0;  // clamped to [1e-6, 1 - 1e-6] by the charts
  bool happened = false;
};

// Cases that share one chance of the event.
struct ChanceClass {
  double chance = 0;
  std::int64_t cases = 0;
};

// The same with how many had it: all that most figures need of the cases, however many there are.
struct JudgedClass {
  double expected = 0;
  std::int64_t cases = 0, events = 0;
};
std::vector<JudgedClass> ClassesJudged(std::span<const Judged> cases);  // by expected chance

struct AgainstExpected {
  std::int64_t observed = 0;
  double expected = 0;
  double variance = 0;
  double ratio = 0;           // observed / expected
  double at_least = 1;        // P(X >= observed) under the reference
  double at_least_mid = 1;    // the same with half of P(X = observed)
  // All odds multiplied by one factor: the factor that fits, its exact 95 % interval, and the same as ratios.
  double odds_factor = 0;
  Interval odds_interval;     // high is infinite if every case had the event
  double fitted_ratio = 0;
  Interval ratio_interval;
};

// Refused: no case, a chance outside [0, 1], more than 20,000 cases with more than 64 chances among them (the exact law
// then costs the square of the cases).
Result<AgainstExpected> CompareWithExpected(std::span<const Judged> cases);
Result<AgainstExpected> CompareWithExpected(std::span<const ChanceClass> classes, std::int64_t observed);

}  // namespace fairlead
