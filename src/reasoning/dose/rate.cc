// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/rate.h"

#include <cmath>

#include "geometry/view.h"

namespace fairlead {
namespace {

constexpr double kToIsocentre = 750.0, kDoublingThickness = 60.0;  // mm; practice, no source

}  // namespace

BodyPath PathThrough(const Body& body, const GantryAngles& angles) {
  View view;
  view.primary = angles.primary;
  view.secondary = angles.secondary;
  const BeamAxes axes = AxesOf(view);
  const auto crossing = Cross(body.torso.trunk, Ray{-kToIsocentre * axes.beam, axes.beam});
  if (!crossing || crossing->enters <= 0.0) return {};
  return {crossing->enters, crossing->leaves - crossing->enters};
}

double KermaRateAgainstFrontal(const Body& body, const GantryAngles& angles) {
  return std::exp2((PathThrough(body, angles).inside - PathThrough(body, {}).inside) / kDoublingThickness);
}

}  // namespace fairlead
