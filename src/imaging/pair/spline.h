// SPDX-License-Identifier: Apache-2.0
// A uniform cubic B-spline in space: a course that bends as little as what was seen allows.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "geometry/vector.h"

namespace fairlead {

// `spans` pieces of the parameter's length 1; control points are three more. The parameter runs from 0 to spans().
struct Spline {
  std::vector<Vec3> control;
  std::size_t spans() const { return control.size() < 4 ? 0 : control.size() - 3; }
};

// Weights of the four control points from `first` on, at a parameter (clamped to the curve), and of their derivative.
struct SplineWeights {
  std::size_t first = 0;
  std::array<double, 4> value{}, slope{};
};
SplineWeights WeightsAt(std::size_t spans, double parameter);

Vec3 SplineAt(const Spline& spline, double parameter);
Vec3 SlopeAt(const Spline& spline, double parameter);

// A spline near a polyline, whose spans are at most `spacing_mm` long. At least two distinct points.
Spline SplineAlong(std::span<const Vec3> polyline, double spacing_mm);

// Points `per_span` to a span, from one parameter to another, both ends included.
std::vector<Vec3> SampledSpline(const Spline& spline, double from, double to, int per_span);

}  // namespace fairlead
