// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/path.h"

#include <gtest/gtest.h>

#include <limits>
#include <queue>

#include "tests/imaging/trace/drawn.h"
#include "tests/imaging/trace/references.h"

namespace fairlead {
namespace {

CostMap MapOf(int rows, int columns, const std::vector<float>& inner) {
  CostMap map{rows, columns, std::vector<float>(static_cast<std::size_t>((rows + 2) * (columns + 2)), std::numeric_limits<float>::infinity())};
  for (int r = 0; r < rows; ++r) {
    for (int c = 0; c < columns; ++c) map.costs[static_cast<std::size_t>((r + 1) * (columns + 2) + c + 1)] = inner[static_cast<std::size_t>(r * columns + c)];
  }
  return map;
}

double PriceOf(const CostMap& map, const std::vector<Pixel>& path) {
  const auto cost = [&](Pixel p) { return static_cast<double>(map.costs[static_cast<std::size_t>((p.row + 1) * (map.columns + 2) + p.column + 1)]); };
  double price = 0.0;
  for (std::size_t i = 1; i < path.size(); ++i) {
    price += 0.5 * (cost(path[i]) + cost(path[i - 1])) * std::hypot(path[i].column - path[i - 1].column, path[i].row - path[i - 1].row);
  }
  return price;
}

// The textbook algorithm with a heap: Numer Math 1959;1:269-271, doi 10.1007/BF01386390.
std::vector<double> ByHeap(const CostMap& map, Pixel root) {
  const int width = map.columns + 2;
  std::vector<double> price(map.costs.size(), std::numeric_limits<double>::infinity());
  std::priority_queue<std::pair<double, int>, std::vector<std::pair<double, int>>, std::greater<>> queue;
  const int start = (root.row + 1) * width + root.column + 1;
  price[static_cast<std::size_t>(start)] = 0.0;
  queue.emplace(0.0, start);
  while (!queue.empty()) {
    const auto [here, at] = queue.top();
    queue.pop();
    if (here > price[static_cast<std::size_t>(at)]) continue;
    for (int dr = -1; dr <= 1; ++dr) {
      for (int dc = -1; dc <= 1; ++dc) {
        const int to = at + dr * width + dc;
        if (to == at || !std::isfinite(map.costs[static_cast<std::size_t>(to)])) continue;
        const double there = here + 0.5 * std::hypot(dr, dc) * static_cast<double>(map.costs[static_cast<std::size_t>(at)] + map.costs[static_cast<std::size_t>(to)]);
        if (there < price[static_cast<std::size_t>(to)]) price[static_cast<std::size_t>(to)] = there, queue.emplace(there, to);
      }
    }
  }
  return price;
}

TEST(CheapestPaths, CostWhatTheTextbookAlgorithmFinds) {
  std::mt19937 random(3);
  for (int trial = 0; trial < 30; ++trial) {
    const int rows = 1 + static_cast<int>(random() % 40), columns = 2 + static_cast<int>(random() % 40);
    std::vector<float> inner;
    // As CostOf makes them: from 1 / 1.52 to 1 / 0.02.
    for (int i = 0; i < rows * columns; ++i) inner.push_back(1.0f / (0.02f + 1.5f * static_cast<float>(random() % 1000) / 1000.0f));
    const CostMap map = MapOf(rows, columns, inner);
    const Pixel root{static_cast<int>(random()) % columns, static_cast<int>(random()) % rows};
    const Pixel inside{std::abs(root.column) % columns, std::abs(root.row) % rows};
    const PathTree tree = CheapestPaths(map, inside);
    const auto best = ByHeap(map, inside);
    for (int k = 0; k < 40; ++k) {
      const Pixel to{static_cast<int>(random() % static_cast<unsigned>(columns)), static_cast<int>(random() % static_cast<unsigned>(rows))};
      const auto path = WalkToRoot(tree, to);
      ASSERT_FALSE(path.empty());
      EXPECT_EQ(path.front(), to);
      EXPECT_EQ(path.back(), inside);
      const double least = best[static_cast<std::size_t>((to.row + 1) * (columns + 2) + to.column + 1)];
      EXPECT_NEAR(PriceOf(map, path), least, 1e-3 + 1e-4 * least) << trial;
    }
  }
}

TEST(CheapestPaths, CostWhatScikitImageFinds) {
  std::vector<float> inner;
  for (int y = 0; y < 40; ++y) {
    for (int x = 0; x < 48; ++x) inner.push_back(1.0f + 0.9f * static_cast<float>((x * 7 + y * 13) % 11));
  }
  const CostMap map = MapOf(40, 48, inner);
  const PathTree tree = CheapestPaths(map, {4, 3});
  const auto rows = References("mcp");
  ASSERT_EQ(rows.size(), 6u);
  for (const auto& row : rows) {
    EXPECT_NEAR(PriceOf(map, WalkToRoot(tree, {static_cast<int>(row[0]), static_cast<int>(row[1])})), row[2], 1e-3) << row[0] << " " << row[1];
  }
}

TEST(CheapestPaths, StoppingEarlyGivesTheSamePath) {
  const CostMap map = CostOf(VesselnessOf(Drawn({.radius = 4.0, .angle_deg = 33.0, .bow = 20.0, .noise = 3.0})));
  const PathTree whole = CheapestPaths(map, {20, 30});
  for (const Pixel to : {Pixel{120, 90}, Pixel{25, 140}, Pixel{21, 30}}) {
    EXPECT_NEAR(PriceOf(map, WalkToRoot(CheapestPaths(map, {20, 30}, to), to)), PriceOf(map, WalkToRoot(whole, to)), 1e-3);
  }
}

TEST(CheapestPaths, FollowAVesselRoundItsBend) {
  const Tube tube{.radius = 4.0, .angle_deg = 0.0, .bow = 45.0, .noise = 2.0};
  const Vesselness v = VesselnessOf(Drawn(tube));
  const PixelPoint a = AxisAt(tube, -60.0), b = AxisAt(tube, 60.0);
  const auto pixel = [](PixelPoint p) { return Pixel{static_cast<int>(std::lround(p.x)), static_cast<int>(std::lround(p.y))}; };
  for (const Pixel& p : WalkToRoot(CheapestPaths(CostOf(v), pixel(a)), pixel(b))) {
    const double along = p.column - 0.5 * (tube.size - 1);
    EXPECT_LT(std::abs(p.row - AxisAt(tube, along).y), 4.0) << p.column;
  }
}

TEST(CheapestPaths, WalksFromOutsideAndFromUnreachedPlacesAreEmpty) {
  const CostMap map = MapOf(3, 3, std::vector<float>(9, 1.0f));
  const PathTree tree = CheapestPaths(map, {1, 1});
  EXPECT_TRUE(WalkToRoot(tree, {-1, 0}).empty());
  EXPECT_TRUE(WalkToRoot(tree, {3, 0}).empty());
  EXPECT_EQ(WalkToRoot(tree, {1, 1}).size(), 1u);
  PathTree broken = tree;
  broken.towards_root.assign(9, 0);  // a circle that never ends, as a hostile reader could be sent
  EXPECT_TRUE(WalkToRoot(broken, {0, 0}).empty());
}

TEST(SnapToRidge, GoesToTheVesselWithinSixPixelsAndStaysElsewhere) {
  const Tube tube{.radius = 4.0, .angle_deg = 0.0};
  const Vesselness v = VesselnessOf(Drawn(tube));
  const PixelPoint axis = AxisAt(tube, 10.0);
  for (const double off : {-5.0, -2.0, 0.0, 3.0, 5.0}) {
    const Pixel snapped = SnapToRidge(v, {axis.x, axis.y + off});
    EXPECT_LE(std::abs(snapped.row - axis.y), 2.5) << off;  // near enough for the course to find the ridge
  }
  const Pixel far = SnapToRidge(v, {axis.x, axis.y + 40.0});
  EXPECT_NEAR(far.row, axis.y + 40.0, 6.0);
}

}  // namespace
}  // namespace fairlead
