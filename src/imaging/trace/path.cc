// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/path.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>

namespace fairlead {
namespace {

constexpr float kLeast = 0.02f;  // of the strength that 95 % stay below: smaller clings more to bright vessels. Chosen
constexpr float kMost = 1.5f;    // beyond it a ridge is no cheaper, so that a catheter does not draw a path over. Chosen
constexpr float kImpassable = std::numeric_limits<float>::infinity();

// Neighbours clockwise from the right, as `towards_root` counts them.
constexpr std::array<int, 8> kRight = {1, 1, 0, -1, -1, -1, 0, 1};
constexpr std::array<int, 8> kDown = {0, 1, 1, 1, 0, -1, -1, -1};

// A queue of places by distance in buckets as wide as the cheapest step: whatever leaves the lowest bucket that is not
// empty is final, in any order, since no step from it leads back into it. Distances in use span less than the dearest
// step, so the buckets go round.
class BucketQueue {
 public:
  BucketQueue(float width, float span) : per_width_(1.0f / width), buckets_(static_cast<std::size_t>(span / width) + 3) {}
  void Add(float distance, std::uint32_t place) {
    buckets_[static_cast<std::size_t>(distance * per_width_) % buckets_.size()].push_back(place);
    ++held_;
  }
  bool empty() const { return held_ == 0; }
  // Moves the lowest bucket's places into `out`.
  void TakeLowest(std::vector<std::uint32_t>& out) {
    out.clear();
    while (buckets_[now_].empty()) now_ = (now_ + 1) % buckets_.size();
    std::swap(out, buckets_[now_]);
    held_ -= out.size();
  }

 private:
  float per_width_;
  std::vector<std::vector<std::uint32_t>> buckets_;
  std::size_t now_ = 0, held_ = 0;
};

// Stronger than its neighbours on both sides in some direction, and clearly than those two pixels away: the flank of a
// wide vessel is not.
bool IsCrest(const Vesselness& vesselness, int column, int row) {
  constexpr float kClearly = 1.03f;
  const auto at = [&](int c, int r) {
    c = std::clamp(c, 0, vesselness.columns - 1), r = std::clamp(r, 0, vesselness.rows - 1);
    return vesselness.strength[static_cast<std::size_t>(r) * static_cast<std::size_t>(vesselness.columns) + static_cast<std::size_t>(c)];
  };
  const float here = at(column, row);
  for (std::size_t d = 0; d < 4; ++d) {
    const int x = kRight[d], y = kDown[d];
    if (here >= at(column + x, row + y) && here >= at(column - x, row - y) &&
        here > kClearly * 0.5f * (at(column + 2 * x, row + 2 * y) + at(column - 2 * x, row - 2 * y))) {
      return true;
    }
  }
  return false;
}

}  // namespace

CostMap CostOf(const Vesselness& vesselness) {
  CostMap map{vesselness.rows, vesselness.columns, {}};
  const std::size_t width = static_cast<std::size_t>(map.columns) + 2;
  map.costs.assign(width * (static_cast<std::size_t>(map.rows) + 2), kImpassable);
  const float v95 = StrengthAtShare(vesselness, 0.95);
  const float per = v95 > 0.0f ? 1.0f / v95 : 0.0f;
  for (int row = 0; row < map.rows; ++row) {
    const float* in = vesselness.strength.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(map.columns);
    float* out = map.costs.data() + static_cast<std::size_t>(row + 1) * width + 1;
    for (int c = 0; c < map.columns; ++c) out[c] = 1.0f / (kLeast + std::min(kMost, in[c] * per));
  }
  return map;
}

PathTree CheapestPaths(const CostMap& cost, Pixel root, std::optional<Pixel> until) {
  const int width = cost.columns + 2;
  const auto place = [width](Pixel p) { return static_cast<std::uint32_t>((p.row + 1) * width + p.column + 1); };
  std::array<int, 8> offset{};
  for (std::size_t d = 0; d < 8; ++d) offset[d] = kDown[d] * width + kRight[d];
  const float cheapest = 1.0f / (kLeast + kMost), dearest = 1.0f / kLeast;
  BucketQueue queue(cheapest, dearest * std::numbers::sqrt2_v<float> + cheapest);
  std::vector<float> distance(cost.costs.size(), kImpassable);
  std::vector<std::uint8_t> back(cost.costs.size(), kTreeUnreached);
  distance[place(root)] = 0.0f;
  back[place(root)] = kTreeRoot;
  queue.Add(0.0f, place(root));
  const std::uint32_t goal = until ? place(*until) : 0;
  std::vector<std::uint8_t> done(cost.costs.size(), 0);
  std::vector<std::uint32_t> lowest;
  while (!queue.empty() && done[goal] == 0) {
    queue.TakeLowest(lowest);
    for (const std::uint32_t at : lowest) {
      if (done[at] != 0) continue;  // reached again at a lower price before
      done[at] = 1;
      const float here = distance[at], price = 0.5f * cost.costs[at];
      for (std::size_t d = 0; d < 8; ++d) {
        const auto to = static_cast<std::uint32_t>(static_cast<int>(at) + offset[d]);
        const float step = price + 0.5f * cost.costs[to];
        const float there = here + (d % 2 == 0 ? step : std::numbers::sqrt2_v<float> * step);
        if (!(there < distance[to])) continue;
        distance[to] = there;
        back[to] = static_cast<std::uint8_t>((d + 4) % 8);
        queue.Add(there, to);
      }
    }
  }
  PathTree tree{cost.rows, cost.columns, root, {}};
  tree.towards_root.reserve(static_cast<std::size_t>(cost.rows) * static_cast<std::size_t>(cost.columns));
  for (int row = 0; row < cost.rows; ++row) {
    const auto first = back.begin() + (row + 1) * width + 1;
    tree.towards_root.insert(tree.towards_root.end(), first, first + cost.columns);
  }
  return tree;
}

std::vector<Pixel> WalkToRoot(const PathTree& tree, Pixel from) {
  std::vector<Pixel> path;
  Pixel at = from;
  while (path.size() <= tree.towards_root.size()) {
    if (at.column < 0 || at.row < 0 || at.column >= tree.columns || at.row >= tree.rows) return {};
    const std::uint8_t way = tree.towards_root[static_cast<std::size_t>(at.row) * static_cast<std::size_t>(tree.columns) + static_cast<std::size_t>(at.column)];
    if (way == kTreeUnreached) return {};
    path.push_back(at);
    if (way == kTreeRoot) return path;
    at = {at.column + kRight[way], at.row + kDown[way]};
  }
  return {};
}

Pixel SnapToRidge(const Vesselness& vesselness, PixelPoint click) {
  constexpr int kReach = 6;      // pixels
  constexpr double kNear = 1.5;  // pixels: at this distance a ridge counts half. A click is right to about a pixel, with slips
  const Pixel own{std::clamp(static_cast<int>(std::lround(click.x)), 0, vesselness.columns - 1),
                  std::clamp(static_cast<int>(std::lround(click.y)), 0, vesselness.rows - 1)};
  Pixel best = own;
  double most = 0.0;
  bool found = false;  // a crest; from then on nothing else counts
  for (int row = std::max(0, own.row - kReach); row <= std::min(vesselness.rows - 1, own.row + kReach); ++row) {
    for (int column = std::max(0, own.column - kReach); column <= std::min(vesselness.columns - 1, own.column + kReach); ++column) {
      const double away2 = (column - click.x) * (column - click.x) + (row - click.y) * (row - click.y);
      if (away2 > kReach * kReach) continue;
      const auto at = static_cast<std::size_t>(row) * static_cast<std::size_t>(vesselness.columns) + static_cast<std::size_t>(column);
      const bool crest = IsCrest(vesselness, column, row);
      if (found && !crest) continue;
      if (crest && !found) found = true, most = 0.0;
      const double worth = static_cast<double>(vesselness.strength[at]) * (kNear * kNear / (kNear * kNear + away2));
      if (worth > most) most = worth, best = {column, row};
    }
  }
  return best;
}

}  // namespace fairlead
