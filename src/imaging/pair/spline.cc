// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/spline.h"

#include <algorithm>
#include <cmath>

#include "geometry/curve.h"

namespace fairlead {

SplineWeights WeightsAt(std::size_t spans, double parameter) {
  const double most = static_cast<double>(spans);
  const double at = std::clamp(parameter, 0.0, most);
  SplineWeights weights;
  weights.first = std::min(static_cast<std::size_t>(at), spans - 1);
  const double f = at - static_cast<double>(weights.first), g = 1.0 - f;
  weights.value = {g * g * g / 6.0, (3.0 * f * f * f - 6.0 * f * f + 4.0) / 6.0,
                   (-3.0 * f * f * f + 3.0 * f * f + 3.0 * f + 1.0) / 6.0, f * f * f / 6.0};
  weights.slope = {-0.5 * g * g, 1.5 * f * f - 2.0 * f, -1.5 * f * f + f + 0.5, 0.5 * f * f};
  return weights;
}

namespace {

Vec3 Weighed(const Spline& spline, std::size_t first, const std::array<double, 4>& weights) {
  Vec3 sum;
  for (std::size_t i = 0; i < 4; ++i) sum = sum + weights[i] * spline.control[first + i];
  return sum;
}

}  // namespace

Vec3 SplineAt(const Spline& spline, double parameter) {
  const SplineWeights weights = WeightsAt(spline.spans(), parameter);
  return Weighed(spline, weights.first, weights.value);
}

Vec3 SlopeAt(const Spline& spline, double parameter) {
  const SplineWeights weights = WeightsAt(spline.spans(), parameter);
  return Weighed(spline, weights.first, weights.slope);
}

Spline SplineAlong(std::span<const Vec3> polyline, double spacing_mm) {
  const double length = LengthOf(polyline).millimetres();
  const double spans = std::clamp(std::ceil(length / spacing_mm), 2.0, 120.0);
  const double step = length / spans;
  const auto place = [&](double at) {  // straight on beyond the ends
    if (at < 0.0) {
      const Vec3 start = polyline.front(), towards = PointAt(polyline, Length::Millimetres(step));
      return start + (at / step) * (towards - start);
    }
    if (at > length) {
      const Vec3 end = polyline.back(), from = PointAt(polyline, Length::Millimetres(length - step));
      return end + ((at - length) / step) * (end - from);
    }
    return PointAt(polyline, Length::Millimetres(at));
  };
  Spline spline;
  for (double k = -1.0; k <= spans + 1.0; k += 1.0) spline.control.push_back(place(k * step));
  return spline;
}

std::vector<Vec3> SampledSpline(const Spline& spline, double from, double to, int per_span) {
  const double pieces = std::max(1.0, std::ceil((to - from) * per_span - 1e-9));
  std::vector<Vec3> points;
  for (double k = 0.0; k <= pieces; k += 1.0) points.push_back(SplineAt(spline, from + (to - from) * k / pieces));
  return points;
}

}  // namespace fairlead
