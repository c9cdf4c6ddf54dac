// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <thread>

#include "geometry/trigonometry.h"
#include "reasoning/views/view_map.h"

namespace fairlead {
namespace {

struct Piece {
  float x = 0.0F, y = 0.0F, z = 0.0F, share = 0.0F;  // unit direction; share of the length
};

std::vector<Piece> PiecesOf(std::span<const Vec3> course) {
  std::vector<Piece> pieces;
  double length = 0.0;
  for (std::size_t i = 1; i < course.size(); ++i) length += Norm(course[i] - course[i - 1]);
  for (std::size_t i = 1; i < course.size(); ++i) {
    const Vec3 step = course[i] - course[i - 1];
    const double piece = Norm(step);
    if (!(piece > 0.0)) continue;
    pieces.push_back({static_cast<float>(step.x / piece), static_cast<float>(step.y / piece), static_cast<float>(step.z / piece), static_cast<float>(piece / length)});
  }
  return pieces;
}

// One row of the grid: the columns are the inner loop, so that the compiler takes several at once.
void Row(const std::vector<Piece>& pieces, const std::vector<float>& sine, const std::vector<float>& cosine, SineCosine tilt, float* row) {
  const std::size_t columns = sine.size();
  const float* s = sine.data();
  const float* c = cosine.data();
  const auto cb = static_cast<float>(tilt.cosine), sb = static_cast<float>(tilt.sine);
  std::fill_n(row, columns, 1.0F);
  for (const Piece& piece : pieces) {
    const float a = piece.x * cb, b = -piece.y * cb, up = piece.z * sb, share = piece.share;
    for (std::size_t i = 0; i < columns; ++i) {
      const float along = a * s[i] + b * c[i] + up;
      row[i] -= share * std::sqrt(std::fabs(1.0F - along * along));
    }
  }
  for (std::size_t i = 0; i < columns; ++i) row[i] = std::fabs(row[i]);
}

}  // namespace

GantryAngles ViewGrid::AnglesAt(std::size_t cell) const {
  const auto across = static_cast<std::size_t>(columns);
  return {Angle::Degrees(primary0 + step * static_cast<double>(cell % across)), Angle::Degrees(secondary0 + step * static_cast<double>(cell / across))};
}

std::size_t ViewGrid::CellOf(const GantryAngles& angles) const {
  const auto place = [&](double degrees, double from, int count) { return static_cast<std::size_t>(std::clamp<long>(std::lround((degrees - from) / step), 0, count - 1)); };
  return place(angles.secondary.degrees(), secondary0, rows) * static_cast<std::size_t>(columns) + place(angles.primary.degrees(), primary0, columns);
}

std::vector<float> ForeshorteningMap(const ViewGrid& grid, std::span<const Vec3> course, int threads) {
  std::vector<float> map(grid.cells(), 0.0F);
  const std::vector<Piece> pieces = PiecesOf(course);
  if (pieces.empty()) return map;
  std::vector<float> sine, cosine;
  for (int i = 0; i < grid.columns; ++i) {
    const SineCosine at = SineCosineOf(Angle::Degrees(grid.primary0 + grid.step * i));
    sine.push_back(static_cast<float>(at.sine));
    cosine.push_back(static_cast<float>(at.cosine));
  }
  const auto rows = [&](int from, int to) {
    for (int r = from; r < to; ++r) {
      Row(pieces, sine, cosine, SineCosineOf(Angle::Degrees(grid.secondary0 + grid.step * r)), map.data() + static_cast<std::size_t>(r) * sine.size());
    }
  };
  constexpr std::size_t kWorthAThread = 500'000;
  if (threads < 2 || pieces.size() * grid.cells() < kWorthAThread) {
    rows(0, grid.rows);
    return map;
  }
  const int half = grid.rows / 2;
  std::jthread other([&] { rows(half, grid.rows); });
  rows(0, half);
  other.join();
  return map;
}

}  // namespace fairlead
