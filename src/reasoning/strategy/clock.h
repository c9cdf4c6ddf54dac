// SPDX-License-Identifier: Apache-2.0
// One attempt seen from outside: not crossed yet, and the longer so, the less likely that this way can cross at all.
#pragma once

#include "reasoning/strategy/law.h"

namespace fairlead {

struct Clock {
  double can = 0.0;  // chance that this way can cross
  ClockLaw law;      // given that it can
};

double CrossedBy(const Clock& clock, double t);
double StillCan(const Clock& clock, double t);  // given not crossed by t
double CrossesWithin(const Clock& clock, double t, double next_min);
double HazardSeen(const Clock& clock, double t);  // of crossing, per minute, given not crossed by t

struct IndexTerms {
  double complication_weight = 1.0, minute_cost = 0.0;
  double patience_per_min = 0.0;  // rate at which patience runs out
};
// Where switching is free and hazards fall, working always on the largest index is optimal, and stopping when none is
// above 0.
double Index(const Clock& clock, double complication_per_min, double t, const IndexTerms& terms);

}  // namespace fairlead
