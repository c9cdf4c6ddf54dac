// SPDX-License-Identifier: Apache-2.0
// The patient's trunk and arms as elliptic cylinders along the body, in the patient's axes: enough of a body to say
// where a beam enters and how much of the patient it crosses.
#pragma once

#include <optional>
#include <vector>

#include "geometry/vector.h"
#include "geometry/view.h"
#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

// Upright ellipse in the x-y plane, drawn along z without end; `half_length` is how far from its middle it has skin.
struct EllipticCylinder {
  double half_width = 0.0, half_depth = 0.0;  // mm
  Vec3 centre;                                // mm
  double half_length = 300.0;                 // mm
};

// A place on the skin by its angle round the axis (0 at the back, + towards the patient's left) and its height z.
struct SkinPlace {
  Vec3 at, outwards;
};
SkinPlace OnSkin(const EllipticCylinder& body, Angle round, double z);
Angle RoundOf(const EllipticCylinder& body, Vec3 at);

// Distances from the ray's start at which it enters and leaves; empty if it misses.
struct Crossing {
  double enters = 0.0, leaves = 0.0;  // mm
};
std::optional<Crossing> Cross(const EllipticCylinder& body, const Ray& ray);

enum class Arms { kUp, kDown };

struct Torso {
  EllipticCylinder trunk;
  std::vector<EllipticCylinder> arms;  // empty when they are out of the beam
};

// From height and weight: a trunk of density 1 that carries a fixed share of the weight, chest depth to width 0.67. The
// centre lies 20 mm to the right of the isocentre and 20 mm behind it, as when the heart is centred.
// Errors: a height outside 100 to 230 cm, a weight outside 25 to 300 kg.
struct BodySize {
  double height_cm = 0.0, weight_kg = 0.0;
};
Result<Torso> TorsoOf(const BodySize& size, Arms arms);

// Arms beside a trunk of any size.
std::vector<EllipticCylinder> ArmsBeside(const EllipticCylinder& trunk);

}  // namespace fairlead
