// SPDX-License-Identifier: Apache-2.0
// What a diameter profile says: the narrowest place, how wide the vessel would be there without disease, percent
// stenosis, and how long the narrowing is.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "measure/quantity.h"
#include "measure/reading.h"
#include "measure/result.h"

namespace fairlead {

struct ProfilePoint {
  Length along;      // from the start of the trace
  Length diameter;
  Length sd;         // of the diameter, without the size of a pixel, which all places share
  bool counts = true;  // false: nothing was seen or another shadow lay here; not used
};

// The healthy vessel as a straight line: diameter at `along` = start + taper * along.
struct ReferenceLine {
  Length start;
  double taper = 0.0;  // mm of diameter a mm of length; 0 or below
  Length sd;           // of the line
  int rounds = 0;      // until nothing more was dropped; 0 when the reader chose
};

// A stretch that the reader holds for healthy, from the start of the trace.
struct HealthyStretch {
  Length from, to;
};

struct Narrowing {
  Length least, least_sd;        // after a running median of 1 mm
  Length at;                     // where
  Length reference, reference_sd;
  double stenosis_pct = 0.0, stenosis_sd_pct = 0.0;
  Length begins, ends;           // where the diameter is back at 95 % of the reference on each side (chosen)
  ReferenceLine line;
};

// `points` in order along the vessel, evenly spaced. Least squares over the profile's running median; places narrower
// than the line by more than 1.5 standard deviations of the rest (0.1 mm at least) are dropped until none is; the line
// does not widen downstream. With stretches, the line through their points alone (DICOM PS3.17 T.2: interpolated
// reference). Errors: less than 3 mm, fewer than 10 places that count, or stretches without a place.
Result<Narrowing> NarrowingOf(std::span<const ProfilePoint> points, std::span<const HealthyStretch> healthy = {});

// Running median over 1 mm, of the places that count; the places that do not keep their own value.
std::vector<Length> RunningMedian(std::span<const ProfilePoint> points);

}  // namespace fairlead
