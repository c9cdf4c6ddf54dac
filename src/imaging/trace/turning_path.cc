// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/turning_path.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <optional>

#include "imaging/trace/turning_search.h"

namespace fairlead {
namespace {

TurnWindow Around(const CostMap& cost, Pixel a, Pixel b) {
  const int spare = std::max(40, static_cast<int>(0.5 * std::hypot(a.column - b.column, a.row - b.row)));
  const int left = std::max(0, std::min(a.column, b.column) - spare), top = std::max(0, std::min(a.row, b.row) - spare);
  const int right = std::min(cost.columns - 1, std::max(a.column, b.column) + spare), bottom = std::min(cost.rows - 1, std::max(a.row, b.row) + spare);
  return {left, top, right - left + 1, bottom - top + 1};
}

// From `at`, where one arrives in `direction`, back to where the search set out; `direction` becomes that of setting out.
std::vector<Pixel> WalkBack(const TurnSearch& search, Pixel at, int& direction) {
  std::vector<Pixel> path{at};
  const auto came_by = [&] { return search.CameBy(at) >> (2 * direction) & 3U; };
  for (std::uint32_t came = came_by(); came != 0; came = came_by()) {
    if (came == 2) direction = (direction + kTurnDirections - 1) % kTurnDirections;
    else if (came == 3) direction = (direction + 1) % kTurnDirections;
    else {
      const auto d = static_cast<std::size_t>(direction);
      at = {at.column - kTurnRight[d], at.row - kTurnDown[d]};
      path.push_back(at);
    }
  }
  return path;
}

int DirectionOf(int dx, int dy) {
  for (std::size_t d = 0; d < kTurnDirections; ++d) {
    if (kTurnRight[d] == dx && kTurnDown[d] == dy) return static_cast<int>(d);
  }
  return -1;
}

}  // namespace

double PathCost(const CostMap& cost, std::span<const Pixel> path) {
  double sum = 0.0;
  int before = -1;
  for (std::size_t i = 1; i < path.size(); ++i) {
    const int now = DirectionOf(path[i].column - path[i - 1].column, path[i].row - path[i - 1].row);
    if (now >= 0) sum += static_cast<double>(TurnStepPrice(cost, path[i - 1], now));
    if (before >= 0 && now >= 0) {
      const int turn = std::abs(now - before);
      sum += static_cast<double>(kTurnPrice) * std::min(turn, kTurnDirections - turn);
    }
    if (now >= 0) before = now;
  }
  return sum;
}

std::vector<Pixel> SmoothestPath(const CostMap& cost, std::span<const Pixel> stops) {
  std::vector<TurnSearch> spans;
  ByDirection at{};
  for (std::size_t i = 1; i < stops.size(); ++i) {
    spans.emplace_back(cost, Around(cost, stops[i - 1], stops[i]), stops[i - 1], stops[i], at);
    at = spans.back().PricesAt(stops[i]);
    const float least = *std::min_element(at.begin(), at.end());
    for (float& a : at) a -= least;
  }
  int direction = static_cast<int>(std::min_element(at.begin(), at.end()) - at.begin());
  std::vector<Pixel> path;
  for (std::size_t i = spans.size(); i-- > 0;) {
    const std::vector<Pixel> piece = WalkBack(spans[i], stops[i + 1], direction);
    path.insert(path.end(), piece.begin(), piece.end() - (i > 0 ? 1 : 0));
  }
  std::reverse(path.begin(), path.end());
  return path;
}

TurningTree CheapestTurns(const CostMap& cost, Pixel root, int reach) {
  const int left = std::max(0, root.column - reach), top = std::max(0, root.row - reach);
  const TurnWindow window{left, top, std::min(cost.columns - 1, root.column + reach) - left + 1, std::min(cost.rows - 1, root.row + reach) - top + 1};
  const TurnSearch search(cost, window, root, std::nullopt, ByDirection{});
  TurningTree tree{left, top, window.columns, window.rows, root, {}, {}};
  const std::size_t places = static_cast<std::size_t>(window.columns) * static_cast<std::size_t>(window.rows);
  tree.back.reserve(places);
  tree.dearer.reserve(8 * places);
  for (int row = top; row < top + window.rows; ++row) {
    for (int column = left; column < left + window.columns; ++column) {
      const ByDirection prices = search.PricesAt({column, row});
      const float least = *std::min_element(prices.begin(), prices.end());
      tree.back.push_back(search.CameBy({column, row}));
      std::array<std::uint8_t, kTurnDirections> dearer{};
      for (std::size_t d = 0; d < kTurnDirections; ++d) dearer[d] = static_cast<std::uint8_t>(std::min(15.0f, 2.0f * (prices[d] - least) / kTurnPrice) + 0.5f);
      for (std::size_t d = 0; d < kTurnDirections; d += 2) tree.dearer.push_back(static_cast<std::uint8_t>(dearer[d] | dearer[d + 1] << 4));
    }
  }
  return tree;
}

}  // namespace fairlead
