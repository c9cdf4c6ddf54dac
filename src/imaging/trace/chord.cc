// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/chord.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace fairlead {
namespace {

constexpr double kLeastRadius = 0.15, kMostRadius = 60.0;
constexpr double kTail = 4.5;  // beyond the rim there is nothing: exp(-4.5^2 / 2) = 4e-5

double LogStep(int radii) { return std::log(kMostRadius / kLeastRadius) / (radii - 1); }

}  // namespace

// With x = R sin(a) the chord's steep ends become smooth: 2 R^2 cos^2(a) da, times the Gaussian of t - x. Steps of a
// third of the blur are exact to rounding for the smooth part (trapezoids of a Gaussian).
double BlurredChordByQuadrature(double t, double radius) {
  const int steps = std::max(24, static_cast<int>(std::ceil(std::numbers::pi * radius * 3.0)));
  double sum = 0.0;
  for (int i = 1; i < steps; ++i) {
    const double a = std::numbers::pi * (static_cast<double>(i) / steps - 0.5);
    const double away = t - radius * std::sin(a);
    if (std::abs(away) < 8.0) sum += std::cos(a) * std::cos(a) * std::exp(-0.5 * away * away);
  }
  return sum * 2.0 * radius * radius * (std::numbers::pi / steps) / std::sqrt(2.0 * std::numbers::pi);
}

BlurredChord::BlurredChord() {
  const double step = LogStep(kRadii);
  for (int r = 0; r < kRadii; ++r) {
    const double radius = kLeastRadius * std::exp(step * r);
    for (int p = 0; p < kPlaces; ++p) {
      const double t = (radius + kTail) * p / (kPlaces - 1);
      table_.push_back(static_cast<float>(BlurredChordByQuadrature(t, radius) / radius));
    }
  }
}

ChordOfRadius BlurredChord::Of(double radius) const {
  ChordOfRadius of;
  of.radius_ = std::clamp(radius, kLeastRadius, kMostRadius);
  of.reach_ = of.radius_ + kTail;
  const double row = std::clamp(std::log(of.radius_ / kLeastRadius) / LogStep(kRadii), 0.0, kRadii - 1.001);
  const int r0 = static_cast<int>(row);
  of.share_ = row - r0;
  of.row_ = table_.data() + static_cast<std::size_t>(r0) * kPlaces;
  return of;
}

}  // namespace fairlead
