// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/flow.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace fairlead {
namespace {

using Vector = std::vector<double>;

// -lap u = 1 inside the lumen and outside the shafts, u = 0 on every wall; lengths in lumen radii.
class Channel {
 public:
  Channel(const std::vector<Place>& places, Length lumen, int cells)
      : cells_(cells), step_(2.0 / cells), index_(static_cast<std::size_t>(cells * cells), -1) {
    for (const Place& place : places) {
      const double radius = lumen.millimetres() / 2;
      shafts_.push_back({place.x.millimetres() / radius, place.y.millimetres() / radius, place.diameter.millimetres() / (2 * radius)});
    }
    for (int row = 0; row < cells; ++row) {
      for (int column = 0; column < cells; ++column) {
        if (!Free(At(column), At(row))) continue;
        index_[Cell(column, row)] = static_cast<int>(nodes_.size());
        nodes_.push_back({column, row});
      }
    }
    Link();
  }

  // Integral of u.
  double Flow() const {
    const std::size_t n = nodes_.size();
    Vector u(n, 0.0), residual(n, step_ * step_), z(n), way(n), image(n);
    for (std::size_t i = 0; i < n; ++i) z[i] = residual[i] / diagonal_[i];
    way = z;
    double size = Dot(residual, z);
    const double enough = size * 1e-12;
    for (int turn = 0; turn < 2000 && size > enough; ++turn) {  // conjugate gradients
      Apply(way, image);
      const double length = size / Dot(way, image);
      for (std::size_t i = 0; i < n; ++i) {
        u[i] += length * way[i];
        residual[i] -= length * image[i];
        z[i] = residual[i] / diagonal_[i];
      }
      const double next = Dot(residual, z);
      for (std::size_t i = 0; i < n; ++i) way[i] = z[i] + next / size * way[i];
      size = next;
    }
    double sum = 0.0;
    for (const double each : u) sum += each;
    return sum * step_ * step_;
  }

 private:
  struct Shaft {
    double x, y, r;
  };
  struct Node {
    int column, row;
  };

  double At(int i) const { return -1.0 + (i + 0.5) * step_; }
  std::size_t Cell(int column, int row) const { return static_cast<std::size_t>(row * cells_ + column); }
  bool Free(double x, double y) const {
    return x * x + y * y < 1.0 && std::ranges::all_of(shafts_, [&](const Shaft& shaft) {
      return (x - shaft.x) * (x - shaft.x) + (y - shaft.y) * (y - shaft.y) > shaft.r * shaft.r;
    });
  }

  // Distance along (dx, dy) from a free point to the nearest wall.
  double ToWall(double x, double y, double dx, double dy) const {
    const double along = x * dx + y * dy;
    double nearest = -along + std::sqrt(std::max(0.0, along * along + 1 - x * x - y * y));
    for (const Shaft& shaft : shafts_) {
      const double px = x - shaft.x, py = y - shaft.y;
      const double b = px * dx + py * dy, c = px * px + py * py - shaft.r * shaft.r;
      const double root = b * b - c;
      if (b < 0 && root >= 0) nearest = std::min(nearest, -b - std::sqrt(root));
    }
    return nearest;
  }

  void Link() {
    constexpr std::array<std::array<int, 2>, 4> kWays = {{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}};
    diagonal_.assign(nodes_.size(), 0.0);
    links_.assign(nodes_.size(), {-1, -1, -1, -1});
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
      for (std::size_t w = 0; w < kWays.size(); ++w) {
        const int column = nodes_[i].column + kWays[w][0], row = nodes_[i].row + kWays[w][1];
        const double wall = ToWall(At(nodes_[i].column), At(nodes_[i].row), kWays[w][0], kWays[w][1]);
        const bool inside = column >= 0 && row >= 0 && column < cells_ && row < cells_ && wall >= step_;
        const int next = inside ? index_[Cell(column, row)] : -1;
        diagonal_[i] += next >= 0 ? 1.0 : step_ / std::max(wall, 1e-3 * step_);
        links_[i][w] = next;
      }
    }
  }

  void Apply(const Vector& u, Vector& image) const {
    for (std::size_t i = 0; i < u.size(); ++i) {
      double value = diagonal_[i] * u[i];
      for (const int next : links_[i]) {
        if (next >= 0) value -= u[static_cast<std::size_t>(next)];
      }
      image[i] = value;
    }
  }

  static double Dot(const Vector& a, const Vector& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
    return sum;
  }

  int cells_;
  double step_;
  std::vector<int> index_;
  std::vector<Shaft> shafts_;
  std::vector<Node> nodes_;
  Vector diagonal_;
  std::vector<std::array<int, 4>> links_;
};

}  // namespace

FlowLeft FlowBeside(const std::vector<Place>& places, Length lumen, int cells) {
  FlowLeft left;
  if (places.empty()) return left;
  for (const Place& place : places) {
    const double k = place.diameter / lumen;
    left.free_area -= k * k;
  }
  left.free_area = std::max(0.0, left.free_area);
  // Against the empty lumen on the same grid: what the grid gets wrong at the outer wall cancels.
  left.share = std::clamp(Channel(places, lumen, cells).Flow() / Channel({}, lumen, cells).Flow(), 0.0, 1.0);
  return left;
}

double PressureKpa(Length lumen, Length length, double ml_per_s, double viscosity_mpa_s) {
  const double d = lumen.millimetres() * 1e-3, l = length.millimetres() * 1e-3;
  return 128 * viscosity_mpa_s * 1e-3 * l * ml_per_s * 1e-6 / (std::numbers::pi * d * d * d * d) * 1e-3;
}

double FlowAroundCentred(Length shaft, Length lumen) {
  const double k = shaft / lumen;
  if (k <= 0.0) return 1.0;
  if (k >= 1.0) return 0.0;
  return 1 - k * k * k * k - (1 - k * k) * (1 - k * k) / std::log(1 / k);
}

}  // namespace fairlead
