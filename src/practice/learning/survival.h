// SPDX-License-Identifier: Apache-2.0
// What was seen without any model, beside the curve that was fitted: Kaplan-Meier ("if complications could not happen")
// and Aalen-Johansen ("what happens"). Both flatter a strategy where attempts are given up on hopeless lesions.
#pragma once

#include <vector>

#include "practice/learning/cure.h"

namespace fairlead {

struct SurvivalStep {
  double minutes = 0.0;
  int at_risk = 0;               // just before
  int crossed = 0, complicated = 0;
  double kaplan_meier = 1.0;     // not crossed, complications taken as censoring
  double low = 1.0, high = 1.0;  // 95 %, on the log(-log) scale; equal to kaplan_meier while nothing crossed
  double crossed_by = 0.0;       // Aalen-Johansen
  double complicated_by = 0.0;
  double still = 1.0;            // neither
  double crossed_sd = 0.0;       // of crossed_by, delta method
};

// One step for each time at which somebody crossed or had a complication. Crossings come before censorings at the same
// time.
std::vector<SurvivalStep> SurvivalSteps(const std::vector<Trial>& trials);

// The last step at or before `minutes`; the state at the start where there is none.
SurvivalStep StepAt(const std::vector<SurvivalStep>& steps, double minutes);

}  // namespace fairlead
