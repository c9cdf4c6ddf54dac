// SPDX-License-Identifier: Apache-2.0
// An invented problem of three strategies. Its answers in the tests come from an independent program: enumeration of
// all plans on the one-minute grid in Python with NumPy 1.24, closed forms with SciPy 1.10.
#pragma once

#include "reasoning/strategy/model.h"

namespace fairlead {

inline LadderModel Case3(double minutes, double weight, double minute_cost) {
  LadderModel model;
  model.strategies = {
      {"AW", {0.60}, {LawKind::kExponential, 12.0}, 0.0003, {1, 2.0, 25}, {0, 0, 0}},
      {"ADR", {0.65}, {LawKind::kExponential, 15.0}, 0.0006, {1, 1.5, 30}, {8, 10, 150}},
      {"RG", {0.75}, {LawKind::kExponential, 25.0}, 0.0010, {1, 2.5, 35}, {15, 25, 300}}};
  model.setup_complication_per_min = 0.0002;
  model.budget[kMinutes] = minutes;
  model.objective = {weight, minute_cost, 0.0};
  return model;
}

// Two classes of difficulty whose averages are the chances above.
inline LadderModel Case3InTwoClasses(double minutes, double weight, double minute_cost) {
  LadderModel model = Case3(minutes, weight, minute_cost);
  model.class_weights = {0.55, 0.45};
  const double high[] = {0.80, 0.80, 0.85};
  for (std::size_t k = 0; k < 3; ++k) {
    const double mean = model.strategies[k].can[0];
    model.strategies[k].can = {high[k], (mean - 0.55 * high[k]) / 0.45};
  }
  return model;
}

}  // namespace fairlead
