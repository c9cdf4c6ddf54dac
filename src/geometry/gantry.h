// SPDX-License-Identifier: Apache-2.0
// Angles of a C-arm as people say them ("LAO 45 CRA 25"), as numbers, and as the direction of the beam.
#pragma once

#include <string>
#include <string_view>

#include "geometry/vector.h"
#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

struct GantryAngles {
  Angle primary;    // +LAO, -RAO
  Angle secondary;  // +CRA, -CAU
  friend bool operator==(const GantryAngles&, const GantryAngles&) = default;
};

// "LAO45/CRA25", "RAO 30 CAU 20", "AP", "AP/CRA 40", "LAO 90", "RAO 30/0", or signed degrees "-30/-20" and "-30,-20".
// Errors: a word that is no side, a side twice, an angle that is no number or outside +-180 (primary), +-90 (secondary).
Result<GantryAngles> ParseGantry(std::string_view text);

// "LAO 45 CRA 25", "RAO 30", "AP CRA 40", "AP"; rounded to `digits` after the point.
std::string GantryText(const GantryAngles& angles, int digits = 0);

// Isocentre towards the detector, unit; and back: secondary in [-90, 90], primary in (-180, 180], 0 straight above.
Vec3 BeamOf(const GantryAngles& angles);
GantryAngles AnglesOf(Vec3 beam);

// An angle from a device brought into (-180, 180].
Angle Wrapped(Angle angle);

}  // namespace fairlead
