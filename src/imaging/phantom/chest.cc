// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/chest.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "geometry/trigonometry.h"
#include "imaging/phantom/heart.h"

namespace fairlead {
namespace {

// 1/mm. Water at 60 keV is 0.0206 (NIST tables, from memory); lower here for the part that a display curve flattens.
constexpr double kWater = 0.0125;
constexpr double kVertebra = 0.013;  // beyond water, mean of a vertebral body; chosen
constexpr double kRib = 0.022;
constexpr double kSteel = 1.1;

struct Ellipsoid {
  Vec3 centre, half;   // mm, along the patient's axes
  double share;        // of water, added along the chord
  double breathes;     // share of the heart's breathing
};

// A chest 33 cm wide and 21 cm deep; lungs lose three quarters of the water, diaphragm domes put it back.
constexpr std::array<Ellipsoid, 7> kChest{{{{0, 8, 0}, {165, 105, 400}, 1.0, 0.0},
                                           {{-82, 10, 10}, {58, 82, 120}, -0.44, 0.2},
                                           {{86, 14, 10}, {54, 80, 120}, -0.44, 0.2},
                                           {{6, -8, -4}, {52, 46, 56}, 0.40, 1.0},
                                           {{28, -22, -30}, {48, 40, 36}, 0.30, 1.0},
                                           {{-62, -4, -108}, {88, 92, 74}, 0.62, 1.6},
                                           {{72, -4, -120}, {80, 88, 74}, 0.55, 1.6}}};

double Chord(const Ellipsoid& body, Vec3 from, Vec3 direction) {
  const auto scaled = [&body](Vec3 v) { return Vec3{v.x / body.half.x, v.y / body.half.y, v.z / body.half.z}; };
  const Vec3 o = scaled(from - body.centre), d = scaled(direction);
  const double a = Dot(d, d), b = Dot(o, d), c = Dot(o, o) - 1.0, inside = b * b - a * c;
  return inside > 0.0 ? 2.0 * std::sqrt(inside) / a : 0.0;
}

TubePoint Shadow(const Projector& project, Vec3 at, double radius, double per_mm) {
  const auto hit = project(at);
  return {static_cast<float>(hit.at.column), static_cast<float>(hit.at.row), static_cast<float>(radius * hit.pixels_per_mm),
          static_cast<float>(2.0 * radius * per_mm)};
}

void DrawSpine(const Projector& project, Canvas& canvas) {
  for (int i = -5; i <= 5; ++i) {  // vertebrae 30 mm apart, discs between
    std::vector<TubePoint> body;
    for (int k = 0; k <= 8; ++k) {
      const double along = k / 8.0, waist = 1.0 - 0.13 * (1.0 - (2.0 * along - 1.0) * (2.0 * along - 1.0));
      body.push_back(Shadow(project, {0, 66, 30.0 * i - 11.5 + 23.0 * along}, 17.0 * waist, kVertebra));
    }
    canvas.DrawTube(body, true, true);
    const std::vector<TubePoint> disc{Shadow(project, {0, 66, 30.0 * i + 11.5}, 15.5, 0.6 * kVertebra), Shadow(project, {0, 66, 30.0 * i + 18.5}, 15.5, 0.6 * kVertebra)};
    canvas.DrawTube(disc, true, true);
    for (const double plate : {-11.5, 11.5}) {  // end plates are denser
      const std::vector<TubePoint> line{Shadow(project, {-15, 66, 30.0 * i + plate}, 1.3, 0.05),
                                        Shadow(project, {15, 66, 30.0 * i + plate}, 1.3, 0.05)};
      canvas.DrawTube(line, false, false);
    }
    const std::vector<TubePoint> process{Shadow(project, {0, 92, 30.0 * i - 4}, 4.5, 0.02), Shadow(project, {0, 96, 30.0 * i - 20}, 3.5, 0.02)};
    canvas.DrawTube(process, false, false);
  }
}

void DrawRibs(const Projector& project, Canvas& canvas) {
  for (int i = -4; i <= 5; ++i) {
    for (const double side : {-1.0, 1.0}) {
      std::vector<TubePoint> rib;
      for (int k = 0; k <= 44; ++k) {  // from the spine around the side to the front, falling
        const double share = k / 44.0;
        const auto [s, c] = SineCosineOf(Angle::Degrees(168.0 * share));
        rib.push_back(Shadow(project, {side * (16.0 + 124.0 * s), 8.0 + 80.0 * c, 27.0 * i + 10.0 - 62.0 * share}, 3.9 - 0.9 * share,
                             kRib * (1.0 - 0.55 * share)));
      }
      canvas.DrawTube(rib, false, false);
    }
  }
}

void DrawWires(const Scene& scene, const Projector& project, Canvas& canvas) {
  for (const WireLoop& wire : scene.wires) {
    std::vector<TubePoint> points;
    for (const Vec3 at : wire.course) points.push_back(Shadow(project, at, 0.42, kSteel));
    canvas.DrawTube(points, false, false);
  }
}

// Vessels and airways of the lung: many thin faint tubes, finer the more of them.
void DrawMarkings(const View& view, double busy, SeededRandom& random, Canvas& canvas) {
  const double columns = view.columns, rows = view.rows;
  for (int i = 0; i < 150; ++i) {
    double x = random.Within(-0.1, 1.1) * columns, y = random.Within(-0.1, 1.1) * rows;
    double heading = random.Within(0.0, 360.0);
    const double width = random.Within(1.2, 6.0), depth = busy * random.Within(0.008, 0.035);
    std::vector<TubePoint> points;
    for (int k = 0; k < 14; ++k) {
      const double thin = 1.0 - 0.05 * k;
      points.push_back({static_cast<float>(x), static_cast<float>(y), static_cast<float>(width * thin), static_cast<float>(depth * thin)});
      heading += random.Within(-16.0, 16.0);
      const auto [s, c] = SineCosineOf(Angle::Degrees(heading));
      x += 0.018 * columns * c, y += 0.018 * rows * s;
    }
    canvas.DrawTube(points, false, false);
  }
}

}  // namespace

void DrawStillChest(const Scene& scene, const View& view, double busy, SeededRandom& random, Canvas& canvas) {
  const Projector project(view);
  DrawSpine(project, canvas);
  DrawRibs(project, canvas);
  DrawMarkings(view, busy, random, canvas);
  DrawWires(scene, project, canvas);
}

CoarseMap SoftChest(const View& view, double breath) {
  CoarseMap map{(view.rows + kCoarse - 1) / kCoarse + 1, (view.columns + kCoarse - 1) / kCoarse + 1, {}};
  const Vec3 source = SourceOf(view);
  for (int i = 0; i < map.rows; ++i) {
    for (int k = 0; k < map.columns; ++k) {
      const Ray ray = RayOf(view, {static_cast<double>(k * kCoarse), static_cast<double>(i * kCoarse)});
      double sum = 0.0;
      for (const Ellipsoid& body : kChest) {
        const Vec3 moved = source - (body.breathes * breath) * Vec3{0.0, -0.25, -1.0};
        sum += kWater * body.share * Chord(body, moved, ray.direction);
      }
      map.values.push_back(static_cast<float>(std::max(0.0, sum)));
    }
  }
  return map;
}

void AddMap(const CoarseMap& map, int rows, int columns, std::vector<float>& onto) {
  const auto at = [&map](int i, int k) { return map.values[static_cast<std::size_t>(i) * static_cast<std::size_t>(map.columns) + static_cast<std::size_t>(k)]; };
  for (int row = 0; row < rows; ++row) {
    const int i = row / kCoarse;
    const float down = static_cast<float>(row - i * kCoarse) / kCoarse;
    float* line = onto.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(columns);
    for (int k = 0; k * kCoarse < columns; ++k) {
      const float first = at(i, k) + down * (at(i + 1, k) - at(i, k));
      const float last = at(i, k + 1) + down * (at(i + 1, k + 1) - at(i, k + 1));
      const int end = std::min(kCoarse, columns - k * kCoarse);
      for (int p = 0; p < end; ++p) line[k * kCoarse + p] += first + (last - first) * (static_cast<float>(p) / kCoarse);
    }
  }
}

}  // namespace fairlead
