// SPDX-License-Identifier: Apache-2.0
// For a target's point p and a neighbour q with v = q - p, e = v / |v| and c = sqrt(1 - ((r_p + r_q) / |v|)^2), the beam
// d overlaps them when e . D > c |D| for D = p + SOD d, the ray from the source to p; and the same for -e, the neighbour
// before the point. |D| is nearly linear in d round the cap's middle d0, where D = l e:
//   |D| = l + SOD p . (d - d0) / l
// so the cap is a half-space w . d > k with w = e - c p / l: in one row of the grid an interval of azimuths round
// atan2(w_x, -w_y). The square that is left out is below 2e-5 of |D| for p within 50 mm of the isocentre.
#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <thread>

#include "geometry/trigonometry.h"
#include "reasoning/views/view_map.h"

namespace fairlead {
namespace {

constexpr double kDegrees = 180.0 / std::numbers::pi;

// |error| < 7e-5: formula 4.4.45 of Handbook of Mathematical Functions (NBS 1964).
double QuickArcCosine(double x) {
  const double a = std::abs(x);
  const double y = std::sqrt(1.0 - a) * (1.5707288 + a * (-0.2121144 + a * (0.0742610 - a * 0.0187293)));
  return x < 0.0 ? std::numbers::pi - y : y;
}

// A row of the grid as bits.
class Painter {
 public:
  Painter(const ViewGrid& grid, double isocentre) : grid_(grid), isocentre_(isocentre), words_((static_cast<std::size_t>(grid.columns) + 63) / 64) {
    bits_.assign(words_ * static_cast<std::size_t>(grid.rows), 0);
    for (int r = 0; r < grid.rows; ++r) tilt_.push_back(SineCosineOf(Angle::Degrees(grid.secondary0 + grid.step * r)));
    const double low = grid.secondary0, high = grid.secondary0 + grid.step * (grid.rows - 1);
    lowest_ = std::sin(low / kDegrees);
    highest_ = std::sin(high / kDegrees);
    front_ = grid.primary0 >= -90.0 && grid.primary0 + grid.step * (grid.columns - 1) <= 90.0;
  }

  void Clear() { std::ranges::fill(bits_, 0); }

  void Paint(const Ball& p, const Ball& q) {
    const Vec3 v = q.at - p.at;
    const double apart = Norm(v), reach = p.radius + q.radius;
    if (apart <= reach) return;
    const double share = reach / apart;
    const Vec3 e = v / apart;
    PaintCap(p.at, e, share);
    PaintCap(p.at, -e, share);
  }

  void AddTo(std::vector<std::uint16_t>& counts) const {
    for (int r = 0; r < grid_.rows; ++r) {
      for (std::size_t w = 0; w < words_; ++w) {
        std::uint64_t word = bits_[static_cast<std::size_t>(r) * words_ + w];
        std::uint16_t* at = counts.data() + static_cast<std::size_t>(r) * static_cast<std::size_t>(grid_.columns) + 64 * w;
        for (; word != 0; word &= word - 1) ++at[std::countr_zero(word)];
      }
    }
  }

 private:
  void PaintCap(Vec3 p, Vec3 e, double share) {
    const double pe = Dot(p, e), pp = Dot(p, p);
    const double l = pe + std::sqrt(pe * pe + isocentre_ * isocentre_ - pp);
    // Far outside the grid: the sine of the tilt changes by no more than the angle does.
    const double z0 = (l * e.z - p.z) / isocentre_, margin = 1.2 * share + 0.02;
    if (share < 0.5 && (z0 > highest_ + margin || z0 < lowest_ - margin)) return;
    if (share < 0.5 && front_ && l * e.y - p.y > margin * isocentre_) return;
    const double c = std::sqrt(1.0 - share * share);
    const Vec3 w = e - (c / l) * p;
    const double k = (c * (l - (l * pe - pp) / l) - pe) / isocentre_;
    const double across = std::sqrt(w.x * w.x + w.y * w.y), whole = Norm(w);
    if (k >= whole) return;
    const double middle = std::atan2(w.z, across) * kDegrees;
    const double half = k <= -whole ? 180.0 : QuickArcCosine(k / whole) * kDegrees;
    const int first = std::max(0, static_cast<int>(std::floor((middle - half - grid_.secondary0) / grid_.step)));
    const int last = std::min(grid_.rows - 1, static_cast<int>(std::ceil((middle + half - grid_.secondary0) / grid_.step)));
    if (first > last) return;
    const double centre = across > 0.0 ? std::atan2(w.x, -w.y) * kDegrees : 0.0;
    for (int r = first; r <= last; ++r) PaintRow(r, centre, k - w.z * tilt_[static_cast<std::size_t>(r)].sine, across * tilt_[static_cast<std::size_t>(r)].cosine);
  }

  // The columns with top * cos(azimuth - centre) > level.
  void PaintRow(int row, double centre, double level, double top) {
    if (level >= top) return;
    if (level < -top) return Fill(row, 0, grid_.columns - 1);
    const double half = QuickArcCosine(level / top) * kDegrees;
    for (const double turn : {-360.0, 0.0, 360.0}) {
      const double from = (centre + turn - half - grid_.primary0) / grid_.step, to = (centre + turn + half - grid_.primary0) / grid_.step;
      if (to < 0.0 || from > grid_.columns - 1) continue;
      Fill(row, std::max(0, static_cast<int>(std::ceil(from))), std::min(grid_.columns - 1, static_cast<int>(std::floor(to))));
    }
  }

  void Fill(int row, int from, int to) {
    if (from > to) return;
    std::uint64_t* words = bits_.data() + static_cast<std::size_t>(row) * words_;
    const auto first = static_cast<std::size_t>(from) / 64, last = static_cast<std::size_t>(to) / 64;
    const std::uint64_t head = ~std::uint64_t{0} << (from % 64), tail = ~std::uint64_t{0} >> (63 - to % 64);
    if (first == last) {
      words[first] |= head & tail;
      return;
    }
    words[first] |= head;
    for (std::size_t w = first + 1; w < last; ++w) words[w] = ~std::uint64_t{0};
    words[last] |= tail;
  }

  const ViewGrid& grid_;
  double isocentre_;
  std::size_t words_;
  std::vector<std::uint64_t> bits_;
  std::vector<SineCosine> tilt_;
  double lowest_ = -1.0, highest_ = 1.0;
  bool front_ = false;
};

}  // namespace

std::vector<float> OverlapMap(const ViewGrid& grid, const TreeBalls& balls, int threads, Length isocentre) {
  std::vector<float> map(grid.cells(), 0.0F);
  if (balls.target.empty() || balls.neighbours.empty()) return map;
  std::array<std::vector<std::uint16_t>, 2> counts;
  for (auto& half : counts) half.assign(grid.cells(), 0);
  const auto paint = [&](std::size_t which, std::size_t step) {
    Painter painter(grid, isocentre.millimetres());
    for (std::size_t i = which; i < balls.target.size(); i += step) {
      painter.Clear();
      for (const Ball& q : balls.neighbours) painter.Paint(balls.target[i], q);
      painter.AddTo(counts[which]);
    }
  };
  if (threads < 2) {
    paint(0, 1);
  } else {
    std::jthread other([&] { paint(1, 2); });
    paint(0, 2);
    other.join();
  }
  const auto n = static_cast<float>(balls.target.size());
  for (std::size_t i = 0; i < map.size(); ++i) map[i] = static_cast<float>(counts[0][i] + counts[1][i]) / n;
  return map;
}

double OverlapByDefinition(const GantryAngles& angles, const TreeBalls& balls, Length isocentre) {
  const Vec3 beam = BeamOf(angles);
  std::size_t covered = 0;
  for (const Ball& p : balls.target) {
    const Vec3 ray = Unit(p.at + isocentre.millimetres() * beam);
    covered += std::ranges::any_of(balls.neighbours, [&](const Ball& q) {
      const Vec3 v = q.at - p.at;
      const double reach = p.radius + q.radius;
      return Dot(v, v) > reach * reach && Norm(Cross(v, ray)) < reach;
    });
  }
  return balls.target.empty() ? 0.0 : static_cast<double>(covered) / static_cast<double>(balls.target.size());
}

}  // namespace fairlead
