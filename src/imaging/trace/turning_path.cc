// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/turning_path.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <limits>
#include <optional>

namespace fairlead {
namespace {

// A sixteenth of a whole turn costs what 12 pixels of a vessel of usual strength cost. Chosen on phantoms of seeds 3001 to
// 3040 (docs/methods-trace.md).
constexpr float kTurn = 12.0f;
constexpr int kDirections = 16;
constexpr float kNever = std::numeric_limits<float>::infinity();
// Clockwise from the right, 18 to 27 degrees apart.
constexpr std::array<int, kDirections> kRight = {1, 2, 1, 1, 0, -1, -1, -2, -1, -2, -1, -1, 0, 1, 1, 2};
constexpr std::array<int, kDirections> kDown = {0, 1, 1, 2, 1, 2, 1, 1, 0, -1, -1, -2, -1, -2, -1, -1};

struct Window {
  int left = 0, top = 0, columns = 0, rows = 0;
  bool holds(int column, int row) const { return column >= left && row >= top && column < left + columns && row < top + rows; }
  std::uint32_t at(Pixel p) const { return static_cast<std::uint32_t>((p.row - top) * columns + p.column - left); }
  Pixel pixel(std::uint32_t at) const { return {left + static_cast<int>(at) % columns, top + static_cast<int>(at) / columns}; }
};

Window Around(const CostMap& cost, Pixel a, Pixel b) {
  const int spare = std::max(40, static_cast<int>(0.5 * std::hypot(a.column - b.column, a.row - b.row)));
  const int left = std::max(0, std::min(a.column, b.column) - spare), top = std::max(0, std::min(a.row, b.row) - spare);
  const int right = std::min(cost.columns - 1, std::max(a.column, b.column) + spare), bottom = std::min(cost.rows - 1, std::max(a.row, b.row) + spare);
  return {left, top, right - left + 1, bottom - top + 1};
}

using ByDirection = std::array<float, kDirections>;

float CostAt(const CostMap& cost, int column, int row) {
  return cost.costs[static_cast<std::size_t>(row + 1) * (static_cast<std::size_t>(cost.columns) + 2) + static_cast<std::size_t>(column) + 1];
}

float StepCost(const CostMap& cost, Pixel p, Pixel q) {
  const int dx = q.column - p.column, dy = q.row - p.row;
  const float length = std::sqrt(static_cast<float>(dx * dx + dy * dy));
  const float ends = 0.5f * (CostAt(cost, p.column, p.row) + CostAt(cost, q.column, q.row));
  if (std::abs(dx) < 2 && std::abs(dy) < 2) return length * ends;
  // Between the two pixels that a long step passes.
  const float between = 0.5f * (CostAt(cost, p.column + dx / 2, p.row + dy / 2) + CostAt(cost, q.column - dx / 2, q.row - dy / 2));
  return length * 0.5f * (ends + between);
}

// One span's search. A state is place * 16 + direction in which one arrives there.
class Span {
 public:
  Span(const CostMap& cost, Pixel from, Pixel to, const ByDirection& start) : Span(cost, Around(cost, from, to), from, to, start) {}
  // Without `to` every place of the window is reached.
  Span(const CostMap& cost, const Window& window, Pixel from, std::optional<Pixel> to, const ByDirection& start) : cost_(cost), window_(window), from_(from), to_(to.value_or(Pixel{-1, -1})) {
    const std::size_t states = static_cast<std::size_t>(window_.columns) * static_cast<std::size_t>(window_.rows) * kDirections;
    distance_.assign(states, kNever);
    came_.assign(states, kUnreached);
    done_.assign(states, 0);
    Search(start);
  }
  ByDirection AtGoal() const {
    ByDirection at{};
    for (int d = 0; d < kDirections; ++d) at[static_cast<std::size_t>(d)] = distance_[State(window_.at(to_), d)];
    return at;
  }
  float DistanceAt(std::uint32_t place, int direction) const { return distance_[State(place, direction)]; }
  // As TurningTree keeps it.
  std::uint32_t BackFrom(std::uint32_t place, int direction) const { return came_[State(place, direction)] & 3U; }
  // From the goal, where one arrives in `direction`, back to the start; `direction` becomes that of the start.
  std::vector<Pixel> WalkBack(int& direction) const {
    std::vector<Pixel> path{to_};
    Pixel at = to_;
    for (std::size_t guard = 0; guard < distance_.size(); ++guard) {
      const std::uint8_t came = came_[State(window_.at(at), direction)];
      if (came == kStart || came == kUnreached) break;
      if (came == kTurnLeft) direction = (direction + kDirections - 1) % kDirections;
      else if (came == kTurnRight) direction = (direction + 1) % kDirections;
      else {
        const auto d = static_cast<std::size_t>(direction);
        at = {at.column - kRight[d], at.row - kDown[d]};
        path.push_back(at);
      }
    }
    return path;
  }

 private:
  static constexpr std::uint8_t kStart = 0, kMoved = 1, kTurnLeft = 2, kTurnRight = 3, kUnreached = 9;
  static std::size_t State(std::uint32_t place, int direction) { return static_cast<std::size_t>(place) * kDirections + static_cast<std::size_t>(direction); }
  void Offer(std::size_t state, float distance, std::uint8_t came) {
    if (!(distance < distance_[state])) return;
    distance_[state] = distance;
    came_[state] = came;
    const auto bucket = static_cast<std::size_t>(distance * kPer);
    if (bucket >= buckets_.size()) buckets_.resize(bucket + 64);
    buckets_[bucket].push_back(static_cast<std::uint32_t>(state));
  }
  void Search(const ByDirection& start) {
    float least = kNever;
    for (const float s : start) least = std::min(least, s);
    for (int d = 0; d < kDirections; ++d) Offer(State(window_.at(from_), d), start[static_cast<std::size_t>(d)], kStart);
    float enough = kNever;
    for (std::size_t b = 0; b < buckets_.size() && static_cast<float>(b) / kPer <= enough; ++b) {
      for (std::size_t i = 0; i < buckets_[b].size(); ++i) {
        const std::size_t state = buckets_[b][i];
        if (done_[state] != 0) continue;
        done_[state] = 1;
        const float here = distance_[state];
        const int d = static_cast<int>(state % kDirections);
        const Pixel p = window_.pixel(static_cast<std::uint32_t>(state / kDirections));
        if (p == to_) enough = std::min(enough, here + kTurn * kDirections / 2 + 1.0f);
        Offer(State(window_.at(p), (d + 1) % kDirections), here + kTurn, kTurnLeft);
        Offer(State(window_.at(p), (d + kDirections - 1) % kDirections), here + kTurn, kTurnRight);
        const Pixel q{p.column + kRight[static_cast<std::size_t>(d)], p.row + kDown[static_cast<std::size_t>(d)]};
        if (window_.holds(q.column, q.row)) Offer(State(window_.at(q), d), here + StepCost(cost_, p, q), kMoved);
      }
      buckets_[b] = {};
    }
  }

  static constexpr float kPer = 1.6f;  // buckets to a unit of distance: none wider than the cheapest step
  const CostMap& cost_;
  Window window_;
  Pixel from_, to_;
  std::vector<float> distance_;
  std::vector<std::uint8_t> came_, done_;
  std::vector<std::vector<std::uint32_t>> buckets_;
};

int DirectionOf(int dx, int dy) {
  for (std::size_t d = 0; d < kDirections; ++d) {
    if (kRight[d] == dx && kDown[d] == dy) return static_cast<int>(d);
  }
  return -1;
}

}  // namespace

double PathCost(const CostMap& cost, std::span<const Pixel> path) {
  double sum = 0.0;
  int before = -1;
  for (std::size_t i = 1; i < path.size(); ++i) {
    sum += static_cast<double>(StepCost(cost, path[i - 1], path[i]));
    const int now = DirectionOf(path[i].column - path[i - 1].column, path[i].row - path[i - 1].row);
    if (before >= 0 && now >= 0) {
      const int turn = std::abs(now - before);
      sum += static_cast<double>(kTurn) * std::min(turn, kDirections - turn);
    }
    if (now >= 0) before = now;
  }
  return sum;
}

std::vector<Pixel> SmoothestPath(const CostMap& cost, std::span<const Pixel> stops) {
  std::vector<Span> spans;
  ByDirection at{};
  for (std::size_t i = 1; i < stops.size(); ++i) {
    spans.emplace_back(cost, stops[i - 1], stops[i], at);
    at = spans.back().AtGoal();
    const float least = *std::min_element(at.begin(), at.end());
    for (float& a : at) a -= least;
  }
  int direction = static_cast<int>(std::min_element(at.begin(), at.end()) - at.begin());
  std::vector<Pixel> path;
  for (std::size_t i = spans.size(); i-- > 0;) {
    const std::vector<Pixel> piece = spans[i].WalkBack(direction);
    path.insert(path.end(), piece.begin(), piece.end() - (i > 0 ? 1 : 0));
  }
  std::reverse(path.begin(), path.end());
  return path;
}

TurningTree CheapestTurns(const CostMap& cost, Pixel root, int reach) {
  const int left = std::max(0, root.column - reach), top = std::max(0, root.row - reach);
  const Window window{left, top, std::min(cost.columns - 1, root.column + reach) - left + 1, std::min(cost.rows - 1, root.row + reach) - top + 1};
  const Span span(cost, window, root, std::nullopt, ByDirection{});
  TurningTree tree{left, top, window.columns, window.rows, root, {}, {}};
  const std::uint32_t places = static_cast<std::uint32_t>(window.columns) * static_cast<std::uint32_t>(window.rows);
  tree.back.reserve(places);
  tree.dearer.reserve(std::size_t{8} * places);
  for (std::uint32_t place = 0; place < places; ++place) {
    std::uint32_t back = 0;
    float least = kNever;
    for (int d = 0; d < kDirections; ++d) {
      back |= span.BackFrom(place, d) << (2 * d);
      least = std::min(least, span.DistanceAt(place, d));
    }
    tree.back.push_back(back);
    const auto dearer = [&](int d) { return static_cast<std::uint8_t>(std::min(15.0f, std::round(2.0f * (span.DistanceAt(place, d) - least) / kTurn))); };
    for (int d = 0; d < kDirections; d += 2) tree.dearer.push_back(static_cast<std::uint8_t>(dearer(d) | dearer(d + 1) << 4));
  }
  return tree;
}

}  // namespace fairlead
