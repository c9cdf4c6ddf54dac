// SPDX-License-Identifier: Apache-2.0
#include "geometry/torso.h"

#include <cmath>
#include <numbers>

#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

// All of these: practice, no source. A chest CT's own half width and depth replace them.
constexpr double kTrunkShare = 0.85;         // of height that carries the weight
constexpr double kDepthToWidth = 0.67;
constexpr double kArmRadius = 45.0, kArmGap = 50.0, kArmLift = 60.0;  // mm
constexpr Vec3 kHeartCentred{-20.0, 20.0, 0.0};

}  // namespace

SkinPlace OnSkin(const EllipticCylinder& body, Angle round, double z) {
  const auto [s, c] = SineCosineOf(round);
  const Vec3 at{body.centre.x + body.half_width * s, body.centre.y + body.half_depth * c, z};
  return {at, Unit({s / body.half_width, c / body.half_depth, 0.0})};
}

Angle RoundOf(const EllipticCylinder& body, Vec3 at) {
  return Angle::Radians(std::atan2((at.x - body.centre.x) / body.half_width, (at.y - body.centre.y) / body.half_depth));
}

std::optional<Crossing> Cross(const EllipticCylinder& body, const Ray& ray) {
  const double px = (ray.from.x - body.centre.x) / body.half_width, py = (ray.from.y - body.centre.y) / body.half_depth;
  const double ux = ray.direction.x / body.half_width, uy = ray.direction.y / body.half_depth;
  const double a = ux * ux + uy * uy, b = px * ux + py * uy, c = px * px + py * py - 1.0;
  const double under = b * b - a * c;
  if (!(a > 0.0) || !(under > 0.0)) return std::nullopt;
  const double root = std::sqrt(under);
  return Crossing{(-b - root) / a, (-b + root) / a};
}

std::vector<EllipticCylinder> ArmsBeside(const EllipticCylinder& trunk) {
  std::vector<EllipticCylinder> arms;
  for (const double side : {-1.0, 1.0}) {
    const Vec3 centre{trunk.centre.x + side * (trunk.half_width + kArmGap), trunk.centre.y + trunk.half_depth - kArmLift, trunk.centre.z};
    arms.push_back({kArmRadius, kArmRadius, centre, trunk.half_length});
  }
  return arms;
}

Result<Torso> TorsoOf(const BodySize& size, Arms arms) {
  if (!(size.height_cm >= 100.0 && size.height_cm <= 230.0)) {
    return Error{"the height is not between 100 and 230 cm", "height", "give it in centimetres, or leave it out"};
  }
  if (!(size.weight_kg >= 25.0 && size.weight_kg <= 300.0)) {
    return Error{"the weight is not between 25 and 300 kg", "weight", "give it in kilograms, or leave it out"};
  }
  const double radius = 10.0 * std::sqrt(size.weight_kg * 1000.0 / (std::numbers::pi * size.height_cm * kTrunkShare));
  const double stretch = std::sqrt(kDepthToWidth);
  Torso torso;
  torso.trunk = {radius / stretch, radius * stretch, kHeartCentred};
  if (arms == Arms::kDown) torso.arms = ArmsBeside(torso.trunk);
  return torso;
}

}  // namespace fairlead
