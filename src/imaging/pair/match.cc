// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/match.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

#include "geometry/triangulate.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostPoints = 240;
constexpr double kGapMm = 0.5;       // sd of the distance from the epipolar line, at the isocentre; practice, no source
constexpr double kUnevenStep = 0.1;  // cost of standing still in one picture while the other moves on; chosen
constexpr double kAlongSine = 0.17;  // sine of 10 degrees between a course and its epipolar line: no crossing to see

// Centripetal Catmull-Rom: goes through the clicks without loops between them (Comput Aided Des 2011;43:747-755,
// doi 10.1016/j.cad.2010.08.008, from memory).
ImagePoint Between(const std::array<ImagePoint, 4>& p, double share) {
  std::array<double, 4> t{};
  for (std::size_t i = 1; i < 4; ++i) t[i] = t[i - 1] + std::max(1e-6, std::sqrt(Distance(p[i - 1], p[i])));
  const double at = t[1] + share * (t[2] - t[1]);
  const auto mix = [&](ImagePoint a, ImagePoint b, double ta, double tb) {
    const double w = (at - ta) / (tb - ta);
    return ImagePoint{a.column + w * (b.column - a.column), a.row + w * (b.row - a.row)};
  };
  const ImagePoint a1 = mix(p[0], p[1], t[0], t[1]), a2 = mix(p[1], p[2], t[1], t[2]), a3 = mix(p[2], p[3], t[2], t[3]);
  return mix(mix(a1, a2, t[0], t[2]), mix(a2, a3, t[1], t[3]), t[1], t[2]);
}

ImagePoint Beyond(ImagePoint end, ImagePoint inner) {
  return {2.0 * end.column - inner.column, 2.0 * end.row - inner.row};
}

// Where the epipolar line of a point crosses the other course, and how squarely.
class Crossings {
 public:
  Crossings(const ImageLine& line, const SmoothLine& course) : line_(line), course_(course) {}
  double Signed(std::size_t j) const {
    const ImagePoint p = course_.points[j];
    return line_.a * p.column + line_.b * p.row + line_.c;
  }
  double Sine(std::size_t j) const {
    const ImagePoint a = course_.points[j > 0 ? j - 1 : 0],
                     b = course_.points[std::min(j + 1, course_.points.size() - 1)];
    const double length = Distance(a, b);
    return length > 0.0 ? std::abs(line_.a * (b.column - a.column) + line_.b * (b.row - a.row)) / length : 0.0;
  }
  // The length along the course, near the samples from `first` to `last`, at which it meets the line.
  double Nearest(std::size_t first, std::size_t last) const {
    const std::size_t low = first > 0 ? first - 1 : 0, high = std::min(last + 1, course_.points.size() - 1);
    std::size_t best = low;
    for (std::size_t j = low; j <= high; ++j) {
      if (std::abs(Signed(j)) < std::abs(Signed(best))) best = j;
    }
    for (const std::size_t j : {best > 0 ? best - 1 : best, best}) {
      if (j + 1 >= course_.points.size()) continue;
      const double e = Signed(j), next = Signed(j + 1);
      if (e * next <= 0.0 && e != next)
        return course_.along[j] + e / (e - next) * (course_.along[j + 1] - course_.along[j]);
    }
    return course_.along[best];
  }

 private:
  const ImageLine& line_;
  const SmoothLine& course_;
};

struct Grid {
  std::size_t rows = 0, columns = 0;
  std::vector<double> cost;         // of the best way to each cell
  std::vector<unsigned char> from;  // 0 start, 1 from above, 2 from the left, 3 diagonal
  std::vector<int> steps;
  std::size_t at(std::size_t i, std::size_t j) const { return i * columns + j; }
};

Grid BestWays(const std::vector<ImageLine>& lines, const SmoothLine& on_b, double pixel_mm) {
  Grid grid{lines.size(), on_b.points.size(), {}, {}, {}};
  const std::size_t cells = grid.rows * grid.columns;
  grid.cost.assign(cells, std::numeric_limits<double>::infinity());
  grid.from.assign(cells, 0);
  grid.steps.assign(cells, 1);
  const double per_px = pixel_mm / kGapMm;
  for (std::size_t i = 0; i < grid.rows; ++i) {
    const Crossings crossings(lines[i], on_b);
    for (std::size_t j = 0; j < grid.columns; ++j) {
      // A gap beyond 4 sd costs no more: one bad click must not drag the whole course.
      const double here = std::min(16.0, std::pow(crossings.Signed(j) * per_px, 2));
      const std::size_t cell = grid.at(i, j);
      if (i == 0 && j == 0) grid.cost[cell] = here;
      const auto take = [&](std::size_t before, double extra, unsigned char from) {
        const double cost = grid.cost[before] + here + extra;
        if (cost < grid.cost[cell])
          grid.cost[cell] = cost, grid.from[cell] = from, grid.steps[cell] = grid.steps[before] + 1;
      };
      if (i > 0 && j > 0) take(grid.at(i - 1, j - 1), 0.0, 3);
      if (i > 0) take(grid.at(i - 1, j), kUnevenStep, 1);
      if (j > 0) take(grid.at(i, j - 1), kUnevenStep, 2);
    }
  }
  return grid;
}

// The last cell: the corner, or with a free end the border cell that is reached at the least mean cost.
std::size_t LastCell(const Grid& grid, bool free) {
  std::size_t best = grid.at(grid.rows - 1, grid.columns - 1);
  if (!free) return best;
  const auto mean = [&](std::size_t cell) {
    return (grid.cost[cell] + 3.0) / grid.steps[cell];
  };  // the longer way wins a tie
  for (std::size_t i = grid.rows / 4; i < grid.rows; ++i) {
    if (const std::size_t cell = grid.at(i, grid.columns - 1); mean(cell) < mean(best)) best = cell;
  }
  for (std::size_t j = grid.columns / 4; j < grid.columns; ++j) {
    if (const std::size_t cell = grid.at(grid.rows - 1, j); mean(cell) < mean(best)) best = cell;
  }
  return best;
}

struct Span {
  std::size_t first = 0, last = 0;
};

// For each row up to the last cell's, the columns that the best way passes.
std::vector<Span> Way(const Grid& grid, std::size_t last_cell) {
  std::size_t i = last_cell / grid.columns, j = last_cell % grid.columns;
  std::vector<Span> way(i + 1, Span{grid.columns, 0});
  for (;;) {
    way[i] = {std::min(way[i].first, j), std::max(way[i].last, j)};
    const unsigned char from = grid.from[grid.at(i, j)];
    if (from == 0) break;
    if (from != 2) --i;
    if (from != 1) --j;
  }
  return way;
}

// Order kept, and places taken by order alone put between their certain neighbours.
void Settle(std::vector<Matched>& matched) {
  double least = matched.front().on_b;
  for (Matched& m : matched) least = m.on_b = std::max(m.on_b, least);
  std::size_t before = 0;
  for (std::size_t i = 1; i < matched.size(); ++i) {
    if (!matched[i].certain && i + 1 < matched.size()) continue;
    for (std::size_t k = before + 1; k < i; ++k) {
      const double share =
          (matched[k].on_a - matched[before].on_a) / std::max(1e-9, matched[i].on_a - matched[before].on_a);
      matched[k].on_b = matched[before].on_b + share * (matched[i].on_b - matched[before].on_b);
    }
    before = i;
  }
}

SmoothLine Reversed(const SmoothLine& line) {
  SmoothLine out;
  out.points.assign(line.points.rbegin(), line.points.rend());
  for (auto at = line.along.rbegin(); at != line.along.rend(); ++at) out.along.push_back(line.along.back() - *at);
  return out;
}

}  // namespace

SmoothLine ThroughClicks(std::span<const ImagePoint> clicks) {
  double length = 0.0;
  for (std::size_t i = 1; i < clicks.size(); ++i) length += Distance(clicks[i - 1], clicks[i]);
  const double step = std::max(1.0, length / static_cast<double>(kMostPoints));
  SmoothLine line;
  const auto add = [&line](ImagePoint p) {
    line.along.push_back(line.points.empty() ? 0.0 : line.along.back() + Distance(line.points.back(), p));
    line.points.push_back(p);
  };
  for (std::size_t i = 0; i + 1 < clicks.size(); ++i) {
    const ImagePoint a = clicks[i], b = clicks[i + 1];
    const std::array<ImagePoint, 4> p{i > 0 ? clicks[i - 1] : Beyond(a, b), a, b,
                                      i + 2 < clicks.size() ? clicks[i + 2] : Beyond(b, a)};
    const double pieces = std::max(1.0, std::ceil(Distance(a, b) / step));
    for (double k = 0.0; k < pieces; k += 1.0) {
      add(Between(p, k / pieces));
      if (k == 0.0) line.click_along.push_back(line.along.back());
    }
  }
  add(clicks.back());
  line.click_along.push_back(line.along.back());
  return line;
}

ImagePoint PlaceOn(const SmoothLine& line, double along) {
  const auto after = std::lower_bound(line.along.begin(), line.along.end(), along);
  if (after == line.along.begin()) return line.points.front();
  if (after == line.along.end()) return line.points.back();
  const auto i = static_cast<std::size_t>(after - line.along.begin());
  const double share = (along - line.along[i - 1]) / std::max(1e-12, line.along[i] - line.along[i - 1]);
  const ImagePoint a = line.points[i - 1], b = line.points[i];
  return {a.column + share * (b.column - a.column), a.row + share * (b.row - a.row)};
}

Result<std::vector<Matched>> MatchCourses(const View& a, const SmoothLine& on_a, const View& b, const SmoothLine& on_b,
                                          FreeEnds free) {
  if (free.start) {  // walk from the end that both show
    auto backwards = MatchCourses(a, Reversed(on_a), b, Reversed(on_b), {false, true});
    if (!backwards) return backwards.error();
    std::vector<Matched> forwards;
    for (auto m = backwards->rbegin(); m != backwards->rend(); ++m) {
      forwards.push_back({on_a.along.back() - m->on_a, on_b.along.back() - m->on_b, m->certain});
    }
    return forwards;
  }
  std::vector<ImageLine> lines;
  for (const ImagePoint& p : on_a.points) {
    const auto line = EpipolarLine(a, p, b);
    if (!line) return line.error();
    lines.push_back(*line);
  }
  const Grid grid = BestWays(lines, on_b, PixelSizeAtIsocentre(b).millimetres());
  const std::size_t last = LastCell(grid, free.end);
  const std::vector<Span> way = Way(grid, last);
  if (way.size() < 2)
    return Error{"the two pictures show no common stretch of this course", "", "mark the same stretch in both"};
  std::vector<Matched> matched;
  for (std::size_t i = 0; i < way.size(); ++i) {
    const Crossings crossings(lines[i], on_b);
    const std::size_t middle = (way[i].first + way[i].last) / 2;
    const bool end = i == 0 || (i + 1 == way.size() && !free.end);
    const bool certain = end || crossings.Sine(middle) > kAlongSine;
    const double on = i == 0 ? 0.0 : end ? on_b.along.back() : crossings.Nearest(way[i].first, way[i].last);
    matched.push_back({on_a.along[i],
                       std::clamp(on, on_b.along[way[i].first > 2 ? way[i].first - 2 : 0],
                                  on_b.along[std::min(way[i].last + 2, on_b.along.size() - 1)]),
                       certain});
  }
  Settle(matched);
  return matched;
}

}  // namespace fairlead
