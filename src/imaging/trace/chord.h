// SPDX-License-Identifier: Apache-2.0
// What a round lumen full of contrast looks like across: the chord 2 sqrt(R^2 - t^2) through a disc, blurred.
#pragma once

#include <vector>

namespace fairlead {

// The chord of a disc of radius `radius` at distance `t` from its middle, under a Gaussian blur of sd 1, by a table with
// lines between: within 0.002 of the quadrature, relative to the radius. Radii from 0.15 to 60.
class BlurredChord {
 public:
  BlurredChord();
  double operator()(double t, double radius) const;

 private:
  static constexpr int kRadii = 128, kPlaces = 192;
  std::vector<float> table_;  // [radius][place], chord / radius
};

// The same by quadrature, slowly.
double BlurredChordByQuadrature(double t, double radius);

}  // namespace fairlead
