// SPDX-License-Identifier: Apache-2.0
// Distance, area and angle between points that a person set in a cross-section.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/vector.h"
#include "measure/quantity.h"
#include "measure/result.h"
#include "measure/source.h"

namespace fairlead {

enum class HandKind { kDistance, kArea, kAngle };
std::string_view HandKindName(HandKind kind);  // "distance", "area", "angle"
std::string_view HandUnit(HandKind kind);      // "mm", "mm2", "deg"

struct ByHand {
  HandKind kind = HandKind::kDistance;
  double value = 0.0, sd = 0.0;                // in HandUnit; to first order
  double click_sd = 0.0, size_sd = 0.0;        // the two parts of sd: where the points were set, the catheter's own size error
};

// `points`: columns and rows of the picture. Distance: along two points or more. Area: of three or more, none crossing
// another's line is checked for; corners in order. Angle: at the second of three, 0 to 180. Errors: too few or many
// points, a size of a pixel that cannot be, three points of which two coincide.
Result<ByHand> MeasureByHand(HandKind kind, const std::vector<ImagePoint>& points, Length column, Length row);

}  // namespace fairlead
