// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/clock.h"

namespace fairlead {
namespace {

double NotCrossed(const Clock& clock, double t) { return 1.0 - clock.can + clock.can * Survival(clock.law, t); }

}  // namespace

double CrossedBy(const Clock& clock, double t) { return clock.can * (1.0 - Survival(clock.law, t)); }

double StillCan(const Clock& clock, double t) {
  const double left = NotCrossed(clock, t);
  return left > 0.0 ? clock.can * Survival(clock.law, t) / left : 0.0;
}

double CrossesWithin(const Clock& clock, double t, double next_min) {
  const double left = NotCrossed(clock, t);
  return left > 0.0 ? clock.can * (Survival(clock.law, t) - Survival(clock.law, t + next_min)) / left : 0.0;
}

double HazardSeen(const Clock& clock, double t) { return StillCan(clock, t) * CrossingRate(clock.law, t); }

double Index(const Clock& clock, double complication_per_min, double t, const IndexTerms& terms) {
  const double h = HazardSeen(clock, t);
  const double ends = h + complication_per_min + terms.patience_per_min;
  return ends > 0.0 ? (h - terms.complication_weight * complication_per_min - terms.minute_cost) / ends : 0.0;
}

}  // namespace fairlead
