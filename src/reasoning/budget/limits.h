// SPDX-License-Identifier: Apache-2.0
// What a lab holds its runs against: settings with defaults, each a habit of the trade unless a source stands beside it.
// The lab's text "limits" changes them; docs/methods-run.md lists the members.
#pragma once

#include <string_view>

#include "measure/result.h"

namespace fairlead {

struct ActTargets {
  double antegrade_s = 0.0, retrograde_s = 0.0;
  double upper_s = 0.0;  // above it bleeding climbs
  double lower_s = 0.0;  // below it, with gear in the vessel
};

// What finishing a case costs once it is crossed: preparation, stents, last checks. Assumed until learned.
struct Reserve {
  double minutes = 45.0, contrast_ml = 60.0, air_kerma_gy = 0.8;
};

struct RunLimits {
  double minutes = 180.0;          // from the first puncture: stop, prepare or go on
  double contrast_ratio = 3.7;     // times kidney function
  double air_kerma_gy = 5.0;
  double kerma_area_gycm2 = 500.0;
  double fluoro_min = 60.0;
  double act_every_min = 30.0;
  ActTargets high{300.0, 350.0, 400.0, 250.0};  // analysers that read high
  ActTargets low{250.0, 300.0, 350.0, 200.0};   // and low: 50 s below, derived
  char analyser = 'H';             // of the room
  double slope_high = 1.6, slope_low = 1.13;    // s per IU/kg of the median patient on each
  bool show_return_dose = false;   // the dose that would return to target; off until the lab switches it on
  Reserve reserve;
};

// {"minutes": 180, "act": {"H": {"antegrade_s": 300, ...}}, "reserve": {...}, ...}; what is absent stays as it is by
// default. Unknown members and numbers that cannot be are refused.
Result<RunLimits> RunLimitsFromJson(std::string_view json);

inline const ActTargets& TargetsOf(const RunLimits& limits, char analyser) { return analyser == 'L' ? limits.low : limits.high; }

}  // namespace fairlead
