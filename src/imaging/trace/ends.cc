// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/ends.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace fairlead {
namespace {

constexpr double kTurn = 0.71;    // cosine of 45 degrees
constexpr double kReach = 3.0;    // radii, within which the path comes to the vessel
constexpr double kAlong = 2.5;    // radii, over which it is seen to run along it
constexpr double kLeast = 4.0;    // pixels: nearer a click is by hand
constexpr double kAfter = 1.0;    // radii, until a section is no longer cut across the turn

struct Step {
  double x = 0.0, y = 0.0;
};
Step Way(const Pixel& a, const Pixel& b) {
  const double x = b.column - a.column, y = b.row - a.row, n = std::max(1e-9, std::hypot(x, y));
  return {x / n, y / n};
}

// Of a path that begins at the end asked for.
double FirstBeside(std::span<const Pixel> path, double radius) {
  std::vector<double> along{0.0};
  for (std::size_t i = 1; i < path.size(); ++i) along.push_back(along.back() + std::hypot(path[i].column - path[i - 1].column, path[i].row - path[i - 1].row));
  double sharpest = kTurn, beside = 0.0;
  for (std::size_t i = 1; i < path.size() && along[i] <= kReach * std::max(radius, kLeast); ++i) {
    const auto beyond = static_cast<std::size_t>(std::lower_bound(along.begin(), along.end(), along[i] + kAlong * std::max(radius, kLeast)) - along.begin());
    if (beyond >= path.size()) break;
    const Step onto = Way(path[0], path[i]), vessel = Way(path[i], path[beyond]);
    const double off = std::abs((path[0].column - path[i].column) * vessel.y - (path[0].row - path[i].row) * vessel.x);
    const double same = onto.x * vessel.x + onto.y * vessel.y;
    if (same < sharpest && off > std::max(radius, kLeast)) sharpest = same, beside = along[i] + kAfter * radius;
  }
  return beside;
}

}  // namespace

BesideVessel EndsBeside(std::span<const Pixel> path, double radius) {
  if (path.size() < 2 || !(radius > 0.0)) return {};
  const std::vector<Pixel> back(path.rbegin(), path.rend());
  return {FirstBeside(path, radius), FirstBeside(back, radius)};
}

}  // namespace fairlead
