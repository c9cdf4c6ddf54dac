// SPDX-License-Identifier: Apache-2.0
// What a round lumen full of contrast looks like across: the chord 2 sqrt(R^2 - t^2) through a disc, blurred.
#pragma once

#include <cmath>
#include <vector>

namespace fairlead {

// Of one radius, for many places: what BlurredChord gives. Lives no longer than the BlurredChord that it came from.
class ChordOfRadius {
 public:
  static constexpr int kPlaces = 192;  // of the table, from the middle to where nothing is left

  double operator()(double t) const {
    const double place = std::abs(t) / reach_ * (kPlaces - 1);
    if (place >= kPlaces - 1) return 0.0;
    const int p0 = static_cast<int>(place);
    const double fp = place - p0;
    const float* a = row_ + p0;
    const float* b = a + kPlaces;
    const double low = (1.0 - fp) * static_cast<double>(a[0]) + fp * static_cast<double>(a[1]);
    const double high = (1.0 - fp) * static_cast<double>(b[0]) + fp * static_cast<double>(b[1]);
    return radius_ * ((1.0 - share_) * low + share_ * high);
  }

 private:
  friend class BlurredChord;
  const float* row_ = nullptr;                       // of the table: the smaller of the two radii about this one
  double radius_ = 0.0, reach_ = 0.0, share_ = 0.0;  // the share is the larger one's
};

// The chord of a disc of radius `radius` at distance `t` from its middle, under a Gaussian blur of sd 1, by a table with
// lines between: within 0.002 of the quadrature, relative to the radius. Radii from 0.15 to 60.
class BlurredChord {
 public:
  BlurredChord();
  double operator()(double t, double radius) const { return Of(radius)(t); }
  ChordOfRadius Of(double radius) const;

 private:
  static constexpr int kRadii = 128, kPlaces = ChordOfRadius::kPlaces;
  std::vector<float> table_;  // [radius][place], chord / radius
};

// The same by quadrature, slowly.
double BlurredChordByQuadrature(double t, double radius);

}  // namespace fairlead
