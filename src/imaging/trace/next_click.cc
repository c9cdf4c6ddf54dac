// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/next_click.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "imaging/trace/turning_path.h"

namespace fairlead {
namespace {

// All chosen on phantoms of seeds 3001 to 3060 (docs/methods-trace.md).
constexpr double kAlike = 1.5;         // a second route up to this share of the first's cost is asked about
constexpr double kDearer = 4.0;        // along the route taken a second one pays this
constexpr double kCorridor = 4.0;      // pixels on each side of it
constexpr double kLeastApart = 5.0;    // pixels
constexpr double kAtStops = 10.0;      // pixels about a stop: every route leaves through here
constexpr std::size_t kLeastDoubted = 25;  // pixels, about 5 mm
constexpr std::size_t kBridge = 8;     // measured places in between that do not end a doubted stretch
constexpr std::size_t kArm = 10;       // pixels on each side of a corner
constexpr double kCorner = 0.5;        // cosine of 60 degrees
constexpr double kFromClick = 15.0;    // pixels: so near a click nothing is asked

double Away(Pixel a, Pixel b) { return std::hypot(a.column - b.column, a.row - b.row); }

// Of each place of `route` to the nearest of `path`, and which that is.
struct Near {
  double away = 1e9;
  std::size_t at = 0;
};
std::vector<Near> NearestOn(std::span<const Pixel> path, std::span<const Pixel> route) {
  std::vector<Near> all;
  for (const Pixel& p : route) {
    Near near;
    for (std::size_t i = 0; i < path.size(); ++i) {
      const double away = Away(p, path[i]);
      if (away < near.away) near = {away, i};
    }
    all.push_back(near);
  }
  return all;
}

// The map with the corridor of the route taken made dear, but for the places about the stops.
CostMap Beside(const CostMap& cost, std::span<const Pixel> stops, std::span<const Pixel> path) {
  CostMap map = cost;
  const int reach = static_cast<int>(kCorridor);
  std::vector<bool> done(cost.costs.size(), false);
  for (const Pixel& p : path) {
    if (std::any_of(stops.begin(), stops.end(), [&](Pixel s) { return Away(p, s) < kAtStops; })) continue;
    for (int dy = -reach; dy <= reach; ++dy) {
      for (int dx = -reach; dx <= reach; ++dx) {
        const int row = p.row + dy, column = p.column + dx;
        if (dx * dx + dy * dy > reach * reach || row < 0 || column < 0 || row >= cost.rows || column >= cost.columns) continue;
        const auto at = static_cast<std::size_t>(row + 1) * (static_cast<std::size_t>(cost.columns) + 2) + static_cast<std::size_t>(column) + 1;
        if (done[at]) continue;
        done[at] = true;
        map.costs[at] *= static_cast<float>(kDearer);
      }
    }
  }
  return map;
}

std::vector<PixelPoint> Points(std::span<const Pixel> path) {
  std::vector<PixelPoint> points;
  for (const Pixel& p : path) points.push_back({static_cast<double>(p.column), static_cast<double>(p.row)});
  return points;
}

}  // namespace

std::optional<NextClick> SecondRoute(const CostMap& cost, std::span<const Pixel> stops, std::span<const Pixel> path, double radius) {
  const std::vector<Pixel> other = SmoothestPath(Beside(cost, stops, path), stops);
  if (path.size() < 3 || other.size() < 3) return std::nullopt;
  const std::vector<Near> near = NearestOn(path, other);
  const double apart = std::max(kLeastApart, 2.0 * radius);
  std::optional<NextClick> found;
  for (std::size_t i = 0; i < other.size();) {
    if (near[i].away <= 1.5) {
      ++i;
      continue;
    }
    std::size_t end = i;
    double most = 0.0;
    while (end < other.size() && near[end].away > 1.5) most = std::max(most, near[end].away), ++end;
    const std::size_t first = i > 0 ? i - 1 : 0, last = std::min(end, other.size() - 1);
    const std::size_t from = std::min(near[first].at, near[last].at), to = std::max(near[first].at, near[last].at);
    i = end;
    if (most < apart || to < from + 4) continue;
    const double own = PathCost(cost, path.subspan(from, to - from + 1)), second = PathCost(cost, std::span(other).subspan(first, last - first + 1));
    const double dearer = second / std::max(1e-9, own);
    if (dearer > kAlike || (found && found->dearer <= dearer)) continue;
    // Asked where the route taken is farthest from the other.
    const auto stretch = path.subspan(from, to - from + 1);
    const std::vector<Near> back = NearestOn(std::span(other).subspan(first, last - first + 1), stretch);
    const auto farthest = static_cast<std::size_t>(std::max_element(back.begin(), back.end(), [](const Near& a, const Near& b) { return a.away < b.away; }) - back.begin());
    const Pixel at = stretch[farthest];
    found = NextClick{.at = {static_cast<double>(at.column), static_cast<double>(at.row)}, .two_routes = true, .dearer = dearer,
                      .second = Points(std::span(other).subspan(first, last - first + 1))};
  }
  return found;
}

std::optional<NextClick> SharpCorner(std::span<const Pixel> path, std::span<const Pixel> stops) {
  std::optional<NextClick> found;
  std::size_t longest = 0, from = 0;
  for (std::size_t stop = 1; stop < stops.size(); ++stop) {
    std::size_t to = from + 1;
    while (to + 1 < path.size() && !(path[to] == stops[stop])) ++to;
    double sharpest = 1.0;  // cosine
    for (std::size_t i = std::max(from, kArm); i <= to && i + kArm < path.size(); ++i) {
      const Pixel a = path[i - kArm], b = path[i], c = path[i + kArm];
      const double along = Away(a, b) * Away(b, c);
      if (along > 0.0) sharpest = std::min(sharpest, ((b.column - a.column) * (c.column - b.column) + (b.row - a.row) * (c.row - b.row)) / along);
    }
    if (sharpest < kCorner && to - from > longest && to - from > 2 * static_cast<std::size_t>(kFromClick)) {
      longest = to - from;
      const Pixel at = path[(from + to) / 2];
      found = NextClick{.at = {static_cast<double>(at.column), static_cast<double>(at.row)}};
    }
    from = to;
  }
  return found;
}

std::optional<NextClick> DoubtedStretch(const std::vector<bool>& doubted, std::span<const PixelPoint> centre, std::span<const PixelPoint> clicks) {
  const auto counts = [&](std::size_t i) {
    return doubted[i] && std::none_of(clicks.begin(), clicks.end(), [&](PixelPoint c) { return std::hypot(c.x - centre[i].x, c.y - centre[i].y) < kFromClick; });
  };
  std::size_t best = 0, best_from = 0, best_to = 0;
  for (std::size_t i = 0; i < centre.size();) {
    if (!counts(i)) {
      ++i;
      continue;
    }
    std::size_t last = i, count = 1;
    for (std::size_t k = i + 1; k < centre.size() && k - last <= kBridge; ++k) {
      if (counts(k)) last = k, ++count;
    }
    if (count > best) best = count, best_from = i, best_to = last;
    i = last + 1;
  }
  if (best < kLeastDoubted) return std::nullopt;
  return NextClick{.at = centre[(best_from + best_to) / 2], .doubted_px = static_cast<double>(best)};
}

std::string AskSentence(const NextClick& ask, std::optional<double> mm_per_px) {
  if (ask.two_routes) return "Two routes cost nearly alike (the second is dashed): click the vessel once more where it truly runs, about the mark.";
  if (ask.doubted_px == 0.0) return "The course turns as sharply as vessels seldom do; it may have gone over to another one: click the vessel once more where it truly runs, about the mark.";
  const std::string over = mm_per_px ? fmt::format("{:.0f} mm", ask.doubted_px * *mm_per_px) : fmt::format("{:.0f} pixels", ask.doubted_px);
  return "Over " + over + " the edges are in doubt, as where another shadow lies on the vessel: click it once more where it truly runs, about the mark.";
}

}  // namespace fairlead
