// SPDX-License-Identifier: Apache-2.0
// How the rate of a view compares with a frontal one's, where nobody measured it: by the body in the way of its central beam.
#pragma once

#include "geometry/gantry.h"
#include "reasoning/dose/body.h"

namespace fairlead {

// Of the central beam through the isocentre, mm. A beam that misses the trunk has nothing in its way.
struct BodyPath {
  double to_skin = 600.0, inside = 0.0;
};
BodyPath PathThrough(const Body& body, const GantryAngles& angles);

// Air kerma at the reference point in a minute, against a frontal view: twice for each 60 mm more of body, since the display
// keeps the dose behind the body. The 60 mm are practice until a lab fits its own.
double KermaRateAgainstFrontal(const Body& body, const GantryAngles& angles);

}  // namespace fairlead
