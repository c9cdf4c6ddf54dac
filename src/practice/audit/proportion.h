// SPDX-License-Identifier: Apache-2.0
// Intervals for a share: x events in n cases. Never the normal approximation, which has no width at zero events.
// Methods: source "binomial-intervals-2001"; exact is the usual for complications, Wilson for success.
#pragma once

#include <cstdint>

#include "measure/result.h"

namespace fairlead {

struct Interval {
  double low = 0;
  double high = 1;
};

struct Count {
  std::int64_t events = 0;
  std::int64_t cases = 0;
};

// Refused: no case, or more events than cases. 95 %, two-sided.
Result<Interval> ExactInterval(Count count);
Result<Interval> WilsonInterval(Count count);
Result<Interval> JeffreysInterval(Count count);
Result<Interval> MidPInterval(Count count);

}  // namespace fairlead
