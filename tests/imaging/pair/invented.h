// SPDX-License-Identifier: Apache-2.0
// Views, courses and clicks for the tests of two-view measurement. Courses are closed forms; clicks are their exact
// pictures, moved by seeded draws where a test says so.
#pragma once

#include <cmath>
#include <cstdint>
#include <functional>
#include <numbers>
#include <string>
#include <string_view>
#include <vector>

#include "imaging/pair/pair.h"

namespace fairlead {

inline View TheView(double primary_deg, double secondary_deg) {
  View view;
  view.primary = Angle::Degrees(primary_deg);
  view.secondary = Angle::Degrees(secondary_deg);
  view.source_to_detector = Length::Millimetres(1100);
  view.source_to_isocentre = Length::Millimetres(765);
  view.row_spacing = view.column_spacing = Length::Millimetres(0.3125);
  view.rows = view.columns = 512;
  return view;
}

// Normal draws, the same every time: seeded from the test's name.
class Random {
 public:
  explicit Random(std::string_view name) {
    for (const char c : name) state_ = state_ * 1099511628211u + static_cast<unsigned char>(c);
  }
  double Share() {
    state_ += UINT64_C(0x9E3779B97F4A7C15);
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1p-53;
  }
  double Within(double low, double high) { return low + (high - low) * Share(); }
  double Normal() {
    const double u = 1.0 - Share(), v = Share();
    return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
  }

 private:
  std::uint64_t state_ = 14695981039346656037u;
};

inline PairFrame FrameOf(const std::string& key, int run, View view, TablePlace table = TablePlace::kStill) {
  PairFrame frame;
  frame.key = key, frame.run = run, frame.view = view, frame.table = table;
  return frame;
}

// Two frames of two runs.
inline Seen TwoFrames(View a, View b, TablePlace table = TablePlace::kStill) {
  Seen seen;
  seen.frames = {FrameOf("a", 0, a, table), FrameOf("b", 1, b, table)};
  return seen;
}

// What really stood there when the clicks were made: the frames' stated views unless a test moves them.
struct Taken {
  std::vector<View> views;
  double noise_px = 0.0;
  Random* random = nullptr;
  ImagePoint Click(std::size_t frame, Vec3 at) const {
    ImagePoint p = *Project(views[frame], at);
    if (random != nullptr && noise_px > 0.0) {
      p.column += noise_px * random->Normal();
      p.row += noise_px * random->Normal();
    }
    return p;
  }
};
inline Taken AsStated(const Seen& seen) {
  Taken taken;
  for (const PairFrame& frame : seen.frames) taken.views.push_back(frame.view);
  return taken;
}

inline SeenMark MarkAt(const Taken& taken, const std::string& name, Vec3 at) {
  SeenMark mark{name, {}};
  for (std::size_t f = 0; f < taken.views.size(); ++f) mark.clicks.push_back({f, taken.Click(f, at)});
  return mark;
}

using Curve = std::function<Vec3(double)>;  // of a share from 0 to 1

inline std::vector<SeenLine> LinesOf(const Taken& taken, const Curve& curve, double from, double to, int clicks) {
  std::vector<SeenLine> lines;
  for (std::size_t f = 0; f < taken.views.size(); ++f) {
    SeenLine line{f, {}};
    // Each frame is clicked at other places: only the ends are shared.
    for (int i = 0; i < clicks; ++i) {
      const double even = static_cast<double>(i) / (clicks - 1);
      const double moved = i == 0 || i + 1 == clicks ? even : even + 0.3 / clicks * (f % 2 == 0 ? 1 : -1);
      line.points.push_back(taken.Click(f, curve(from + (to - from) * moved)));
    }
    lines.push_back(std::move(line));
  }
  return lines;
}

inline double LengthOfCurve(const Curve& curve, double from = 0.0, double to = 1.0) {
  std::vector<Vec3> points;
  for (int i = 0; i <= 4000; ++i) points.push_back(curve(from + (to - from) * i / 4000.0));
  return LengthOf(points).millimetres();
}

// A circular arc of a radius and a turn, in a plane tilted against every axis.
inline Curve ArcOf(double radius, double turn_deg, Vec3 centre = {5, -20, 10}) {
  const Vec3 u = Unit({1, 0.4, -0.3}), v = Unit(Cross(u, Vec3{0.2, 1, 0.5}));
  return [=](double t) {
    const double angle = turn_deg * std::numbers::pi / 180.0 * t;
    return centre + radius * std::cos(angle) * u + radius * std::sin(angle) * v;
  };
}

// A helix about a tilted axis.
inline Curve HelixOf(double radius, double pitch, double turns, Vec3 start = {-10, -25, 20}) {
  const Vec3 axis = Unit({0.5, -0.3, -0.8}), u = Unit(Cross(axis, Vec3{0, 1, 0})), v = Cross(axis, u);
  return [=](double t) {
    const double angle = 2.0 * std::numbers::pi * turns * t;
    return start + (pitch * turns * t) * axis + radius * std::cos(angle) * u + radius * std::sin(angle) * v;
  };
}

}  // namespace fairlead
