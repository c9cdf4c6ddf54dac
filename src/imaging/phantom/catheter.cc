// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/catheter.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "geometry/curve.h"
#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

// A smooth curve through points, evenly spaced.
std::vector<Vec3> Through(const std::vector<Vec3>& points) {
  std::vector<Vec3> dense;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const Vec3 p1 = points[i], p2 = points[i + 1];
    const Vec3 p0 = points[i > 0 ? i - 1 : 0], p3 = points[std::min(i + 2, points.size() - 1)];
    for (int k = 0; k < 16; ++k) {
      const double t = k / 16.0;
      dense.push_back(p1 + (0.5 * t) * ((p2 - p0) + t * ((2.0 * p0 - 5.0 * p1 + 4.0 * p2 - p3) + t * (3.0 * (p1 - p2) + p3 - p0))));
    }
  }
  dense.push_back(points.back());
  const auto even = Resample(dense, Length::Millimetres(1.2));
  return even.ok() ? even.value() : dense;
}

// Moves with `tip` there and less the further away, not at all from `reach` mm on.
std::vector<Node> Hanging(const std::vector<Vec3>& course, const Node& tip, double radius, double reach) {
  std::vector<Node> nodes;
  const std::vector<double> at = ArcLengths(course);
  for (std::size_t i = 0; i < course.size(); ++i) {
    const double share = std::max(0.0, 1.0 - at[i] / reach);
    nodes.push_back({course[i], share * tip.swing, share, radius});
  }
  return nodes;
}

}  // namespace

GuideCatheter CatheterInto(const Scene& scene, Injected ostium, int vessel, double french) {
  const auto& nodes = scene.vessels[static_cast<std::size_t>(vessel)].nodes;
  const Node tip = nodes[NodeAfter(nodes, 0, 3.0)];
  const Vec3 mouth = nodes.front().at, back = Unit(mouth - tip.at);
  GuideCatheter catheter{ostium, french, {}, vessel};
  const double side = ostium == Injected::kLeft ? 0.0 : 4.5;  // two shafts lie side by side in the aorta
  std::vector<Vec3> points{tip.at, mouth + 4.0 * back};
  if (ostium == Injected::kLeft) {
    points.insert(points.end(), {{-14, 0, 32}, {-19, 6, 50}, {-13, 14, 74}});
  } else if (ostium == Injected::kRight) {
    points.insert(points.end(), {{-19, -4, 26}, {-23.5, 4, 48}, {-18, 12, 74}});
  } else {
    points.insert(points.end(), {{-16, 2, 60}, {-15, 8, 76}});
  }
  points.insert(points.end(), {{2, 30, 96}, {18 + side, 50, 80}, {21 + side, 56, 40}, {20 + side, 57, -20}, {18 + side, 57, -120}});
  catheter.course = Hanging(Through(points), tip, Length::French(french).millimetres() / 2.0, 55.0);
  return catheter;
}

std::vector<Node> GraftCourse(const Heart& heart, const Node& into, SeededRandom& random) {
  const Vec3 out = Unit(into.at - heart.centre);
  const Vec3 start{-14.0 + random.Within(-2, 2), -16.0, 48.0};
  const std::vector<Vec3> points{start, start + Vec3{9, -16, 2}, 0.5 * (start + into.at) + 17.0 * out + Vec3{6, -8, 6},
                                 into.at + 7.0 * out + 9.0 * Unit(start - into.at), into.at};
  const std::vector<Vec3> course = Through(points);
  std::vector<Node> nodes;
  const std::vector<double> at = ArcLengths(course);
  for (std::size_t i = 0; i < course.size(); ++i) {
    const double share = 0.15 + 0.85 * at[i] / at.back();  // the aorta moves little
    nodes.push_back({course[i], share * into.swing, share, 1.75});
  }
  return nodes;
}

void AddSternalWires(Scene& scene, SeededRandom& random) {
  for (int i = 0; i < 4; ++i) {
    const double z = 48.0 - 27.0 * i + random.Within(-2, 2), tilt = random.Within(-3, 3);
    WireLoop wire;
    for (int k = 0; k <= 40; ++k) {
      const auto [s, c] = SineCosineOf(Angle::Degrees(9.0 * k));
      wire.course.push_back({11.0 * c - 2.0, -84.0 + 7.0 * s, z + tilt * c + 1.5 * s});
    }
    // The twisted ends stand off the front.
    for (int k = 1; k <= 6; ++k) wire.course.push_back({9.0 - 0.4 * k, -85.0 - 0.9 * k, z + tilt + 0.8 * k});
    scene.wires.push_back(wire);
  }
}

}  // namespace fairlead
