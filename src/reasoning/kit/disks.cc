// SPDX-License-Identifier: Apache-2.0
// Closed forms and greedy completion.
#include "reasoning/kit/disks.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "reasoning/kit/packing.h"

namespace fairlead::disks {
namespace {

constexpr double kTouch = 1e-11;  // mm: what rounding may leave between circles that touch

struct Spot {
  double x, y;
};

// Where circles around (ax, ay) and (bx, by) of radii ra and rb cross; none or two (equal where they touch).
std::array<Spot, 2> Crossings(const Disk& a, const Disk& b, bool& cross) {
  const double dx = b.x - a.x, dy = b.y - a.y;
  const double d = std::hypot(dx, dy);
  cross = d > 0.0 && d <= a.r + b.r + kTouch && d >= std::abs(a.r - b.r) - kTouch;
  if (!cross) return {};
  const double along = (d * d + a.r * a.r - b.r * b.r) / (2 * d);
  const double across = std::sqrt(std::max(0.0, a.r * a.r - along * along));
  const double mx = a.x + along * dx / d, my = a.y + along * dy / d;
  return {{{mx - across * dy / d, my + across * dx / d}, {mx + across * dy / d, my - across * dx / d}}};
}

bool Free(const std::vector<Disk>& placed, Spot spot, double r, double radius) {
  if (std::hypot(spot.x, spot.y) + r > radius + kTouch) return false;
  return std::ranges::all_of(placed, [&](const Disk& disk) {
    return std::hypot(disk.x - spot.x, disk.y - spot.y) >= disk.r + r - kTouch;
  });
}

std::vector<Spot> Corners(const std::vector<Disk>& placed, double r, double radius) {
  std::vector<Disk> around;  // loci of the new centre
  if (radius > r) around.push_back({0.0, 0.0, radius - r});
  for (const Disk& disk : placed) around.push_back({disk.x, disk.y, disk.r + r});
  std::vector<Spot> corners;
  for (std::size_t i = 0; i < around.size(); ++i) {
    for (std::size_t j = i + 1; j < around.size(); ++j) {
      bool cross = false;
      const auto found = Crossings(around[i], around[j], cross);
      if (cross) corners.insert(corners.end(), found.begin(), found.end());
    }
  }
  return corners;
}

}  // namespace

double Soddy(double a, double b, double c) {
  const double product = a * b * c;
  return product / (2 * std::sqrt(product * (a + b + c)) - (a * b + b * c + c * a));
}

double Gap(double a, double b) { return a * b * (a + b) / (a * a + a * b + b * b); }

double LowerRadius(std::span<const double> radii) {
  if (radii.empty()) return 0.0;
  double bound = radii[0];
  if (radii.size() > 1) bound = radii[0] + radii[1];
  if (radii.size() > 2 && radii[2] > Gap(radii[0], radii[1])) bound = Soddy(radii[0], radii[1], radii[2]);
  double area = 0.0;
  for (std::size_t k = 0; k < radii.size(); ++k) {
    area += radii[k] * radii[k];
    if (const auto ratio = EqualCircleRatio(k + 1)) bound = std::max(bound, *ratio * radii[k]);
  }
  return std::max(bound, std::sqrt(area));
}

Placement PlaceFew(std::span<const double> radii) {
  Placement placement;
  placement.radius = LowerRadius(radii);
  const double outer = placement.radius;
  if (radii.size() == 1) placement.disks = {{0.0, 0.0, radii[0]}};
  if (radii.size() < 2) return placement;
  placement.disks = {{-(outer - radii[0]), 0.0, radii[0]}, {outer - radii[1], 0.0, radii[1]}};
  if (radii.size() < 3) return placement;
  if (radii[2] <= Gap(radii[0], radii[1])) {
    if (auto whole = Complete(placement.disks, radii.subspan(2), outer, false)) placement.disks = std::move(*whole);
    return placement;
  }
  // All three touch the wall and each other: the second lies by the law of cosines, the third where two loci cross.
  const double p = outer - radii[0], q = outer - radii[1], d = radii[0] + radii[1];
  const double cosine = std::clamp((p * p + q * q - d * d) / (2 * p * q), -1.0, 1.0);
  placement.disks = {{-p, 0.0, radii[0]}, {-q * cosine, q * std::sqrt(1 - cosine * cosine), radii[1]}};
  bool cross = false;
  const Disk& second = placement.disks[1];
  const auto third = Crossings({-p, 0.0, radii[0] + radii[2]}, {second.x, second.y, radii[1] + radii[2]}, cross);
  const Spot inner = std::hypot(third[0].x, third[0].y) < std::hypot(third[1].x, third[1].y) ? third[0] : third[1];
  placement.disks.push_back({inner.x, inner.y, radii[2]});
  return placement;
}

std::optional<std::vector<Disk>> Complete(std::vector<Disk> placed, std::span<const double> rest, double radius, bool low) {
  for (const double r : rest) {
    std::optional<Spot> best;
    if (placed.empty() && r <= radius) best = Spot{0.0, low ? r - radius : 0.0};
    for (const Spot& spot : Corners(placed, r, radius)) {
      if ((best && (!low || spot.y >= best->y - kTouch)) || !Free(placed, spot, r, radius)) continue;
      best = spot;
    }
    if (!best) return std::nullopt;
    placed.push_back({best->x, best->y, r});
  }
  return placed;
}

}  // namespace fairlead::disks
