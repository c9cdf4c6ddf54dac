// SPDX-License-Identifier: Apache-2.0
#include "measure/normal.h"

#include <cmath>
#include <numbers>

namespace fairlead {

double NormalCdf(double x, double mean, double sd) {
  if (sd <= 0.0) return mean <= x ? 1.0 : 0.0;
  return 0.5 * std::erfc((mean - x) / (sd * std::numbers::sqrt2));
}

}  // namespace fairlead
