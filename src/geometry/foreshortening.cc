// SPDX-License-Identifier: Apache-2.0
#include "geometry/foreshortening.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

// The sine of the angle between a segment and a ray, by the cross product: exact near 0 where 1 - cos^2 is not.
double SeenShare(Vec3 along, Vec3 ray) { return std::min(1.0, Norm(Cross(along, ray))); }

}  // namespace

double ForeshorteningAlongBeam(const View& view, Vec3 a, Vec3 b) {
  const Vec3 along = Unit(b - a);
  if (Norm(along) == 0.0) return 0.0;
  return 1.0 - SeenShare(along, AxesOf(view).beam);
}

double Foreshortening(const View& view, Vec3 a, Vec3 b) {
  const Vec3 along = Unit(b - a);
  if (Norm(along) == 0.0) return 0.0;
  return 1.0 - SeenShare(along, Unit(0.5 * (a + b) - SourceOf(view)));
}

double Foreshortening(const View& view, std::span<const Vec3> course) {
  double length = 0.0, seen = 0.0;
  for (std::size_t i = 1; i < course.size(); ++i) {
    const double piece = Norm(course[i] - course[i - 1]);
    length += piece;
    seen += piece * (1.0 - Foreshortening(view, course[i - 1], course[i]));
  }
  return length > 0.0 ? 1.0 - seen / length : 0.0;
}

Angle SecondaryOfNoForeshortening(Angle primary, Vec3 direction) {
  const auto [s, c] = SineCosineOf(primary);
  double beta = std::atan2(-(direction.x * s - direction.y * c), direction.z);
  if (beta > std::numbers::pi / 2) beta -= std::numbers::pi;
  if (beta <= -std::numbers::pi / 2) beta += std::numbers::pi;
  return Angle::Radians(beta);
}

}  // namespace fairlead
