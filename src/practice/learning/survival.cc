// SPDX-License-Identifier: Apache-2.0
#include "practice/learning/survival.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace fairlead {
namespace {

constexpr double kZ = 1.959963984540054;  // 95 %, two-sided

struct Count {
  int crossed = 0, complicated = 0, stopped = 0;
};

std::map<double, Count> CountsOf(const std::vector<Trial>& trials) {
  std::map<double, Count> counts;
  for (const Trial& trial : trials) {
    Count& count = counts[trial.minutes];
    ++(trial.ending == Ending::kCrossed ? count.crossed : trial.ending == Ending::kComplication ? count.complicated : count.stopped);
  }
  return counts;
}

// Of the cumulative incidence at the last step, by the delta method.
double IncidenceVariance(const std::vector<SurvivalStep>& steps) {
  const double now = steps.back().crossed_by;
  double variance = 0.0, still = 1.0;
  for (const SurvivalStep& step : steps) {
    const double n = step.at_risk, d = step.crossed + step.complicated, d1 = step.crossed, later = now - step.crossed_by;
    if (n > d) variance += later * later * d / (n * (n - d));
    variance += still * still * (n - d1) * d1 / (n * n * n) - 2.0 * later * still * d1 / (n * n);
    still = step.still;
  }
  return std::max(0.0, variance);
}

}  // namespace

std::vector<SurvivalStep> SurvivalSteps(const std::vector<Trial>& trials) {
  std::vector<SurvivalStep> steps;
  int at_risk = static_cast<int>(trials.size());
  double greenwood = 0.0;
  SurvivalStep last;
  for (const auto& [minutes, count] : CountsOf(trials)) {
    if (count.crossed + count.complicated > 0) {
      SurvivalStep step = last;
      const double n = at_risk;
      step.minutes = minutes, step.at_risk = at_risk, step.crossed = count.crossed, step.complicated = count.complicated;
      step.kaplan_meier *= 1.0 - count.crossed / n;
      if (count.crossed > 0 && at_risk > count.crossed) greenwood += count.crossed / (n * (n - count.crossed));
      const double log_s = std::log(step.kaplan_meier);
      if (step.kaplan_meier > 0.0 && log_s < 0.0) {
        const double wide = kZ * std::sqrt(greenwood) / -log_s;
        step.low = std::exp(log_s * std::exp(wide)), step.high = std::exp(log_s * std::exp(-wide));
      } else {
        step.low = step.high = step.kaplan_meier;
      }
      step.crossed_by += last.still * count.crossed / n;
      step.complicated_by += last.still * count.complicated / n;
      step.still = last.still * (1.0 - (count.crossed + count.complicated) / n);
      steps.push_back(step);
      steps.back().crossed_sd = std::sqrt(IncidenceVariance(steps));
      last = steps.back();
    }
    at_risk -= count.crossed + count.complicated + count.stopped;
  }
  return steps;
}

SurvivalStep StepAt(const std::vector<SurvivalStep>& steps, double minutes) {
  SurvivalStep found;
  for (const SurvivalStep& step : steps)
    if (step.minutes <= minutes) found = step;
  return found;
}

}  // namespace fairlead
