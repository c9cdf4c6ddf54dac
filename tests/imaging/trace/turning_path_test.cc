// SPDX-License-Identifier: Apache-2.0
// Pictures drawn by tests/imaging/trace/drawn.h: where the vessels run is the test's own.
#include "imaging/trace/turning_path.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>
#include <random>

#include "imaging/trace/trace.h"
#include "tests/imaging/trace/drawn.h"

namespace fairlead {
namespace {

Pixel Nearest(PixelPoint p) { return {static_cast<int>(std::lround(p.x)), static_cast<int>(std::lround(p.y))}; }

// Shadows add up where greys are logarithms. `Drawn` has its ground below the vessel: the darkest value is taken off.
Picture Together(const Picture& a, const Picture& b) {
  Picture sum = a;
  const float ground = *std::min_element(b.values.begin(), b.values.end());
  for (std::size_t i = 0; i < sum.values.size(); ++i) sum.values[i] += b.values[i] - ground;
  return sum;
}

// A faint vessel bows from A to B; two dark ones cross it and each other, so that going along them is cheaper pixel by
// pixel, round sharp corners.
TEST(SmoothestPath, StaysOnAFaintVesselThatDarkerOnesCross) {
  const Tube faint{.radius = 3.0, .angle_deg = 0.0, .darkness = 3.0, .bow = 30.0};
  Picture picture = Drawn(faint);
  picture = Together(picture, Drawn({.radius = 5.0, .angle_deg = 62.0, .darkness = 9.0}));
  picture = Together(picture, Drawn({.radius = 5.0, .angle_deg = 118.0, .darkness = 9.0}));
  const CostMap cost = CostOf(VesselnessOf(picture));
  const std::vector<Pixel> stops{Nearest(AxisAt(faint, -70.0)), Nearest(AxisAt(faint, 70.0))};
  const auto path = SmoothestPath(cost, stops);
  ASSERT_FALSE(path.empty());
  EXPECT_EQ(path.front(), stops.front());
  EXPECT_EQ(path.back(), stops.back());
  for (const Pixel& p : path) EXPECT_LT(std::abs(p.row - AxisAt(faint, p.column - 79.5).y), 5.0) << p.column;
}

TEST(SmoothestPath, PassesEachStopInOrderAndNeverJumps) {
  const Tube tube{.radius = 4.0, .angle_deg = 20.0, .bow = 30.0, .noise = 3.0};
  const CostMap cost = CostOf(VesselnessOf(Drawn(tube)));
  std::vector<Pixel> stops;
  for (const double along : {-60.0, -10.0, 15.0, 60.0}) stops.push_back(Nearest(AxisAt(tube, along)));
  const auto path = SmoothestPath(cost, stops);
  std::size_t passed = 0;
  for (std::size_t i = 0; i < path.size(); ++i) {
    if (passed < stops.size() && path[i] == stops[passed]) ++passed;
    const Pixel& before = path[i > 0 ? i - 1 : 0];
    EXPECT_LE(std::hypot(path[i].column - before.column, path[i].row - before.row), std::sqrt(5.0) + 1e-9);
  }
  EXPECT_EQ(passed, stops.size());
}

TEST(SmoothestPath, GoesFromCornerToCornerOfAnEmptyPicture) {
  for (const int size : {2, 9, 40}) {
    const CostMap cost = CostOf(VesselnessOf({size, size, std::vector<float>(static_cast<std::size_t>(size) * static_cast<std::size_t>(size), 7.0f)}));
    const std::vector<Pixel> stops{{0, 0}, {size - 1, size - 1}};
    const auto path = SmoothestPath(cost, stops);
    ASSERT_FALSE(path.empty()) << size;
    EXPECT_EQ(path.front(), stops.front());
    EXPECT_EQ(path.back(), stops.back());
  }
}

// From `at`, arriving in `direction`, back to the root: as the page reads it.
std::vector<Pixel> WalkedBack(const TurningTree& tree, Pixel at, int direction) {
  constexpr int kRight[] = {1, 2, 1, 1, 0, -1, -1, -2, -1, -2, -1, -1, 0, 1, 1, 2}, kDown[] = {0, 1, 1, 2, 1, 2, 1, 1, 0, -1, -1, -2, -1, -2, -1, -1};
  std::vector<Pixel> path{at};
  while (path.size() < 10000) {
    const auto place = static_cast<std::size_t>((at.row - tree.top) * tree.columns + at.column - tree.left);
    const std::uint32_t way = tree.back[place] >> (2 * direction) & 3U;
    if (way == 0) return path;
    if (way == 2) direction = (direction + 15) % 16;
    else if (way == 3) direction = (direction + 1) % 16;
    else at = {at.column - kRight[direction], at.row - kDown[direction]}, path.push_back(at);
  }
  return {};
}

int CheapestDirection(const TurningTree& tree, Pixel at) {
  const auto place = static_cast<std::size_t>((at.row - tree.top) * tree.columns + at.column - tree.left);
  for (int d = 0; d < 16; ++d) {
    if ((tree.dearer[8 * place + static_cast<std::size_t>(d / 2)] >> (4 * (d % 2)) & 15) == 0) return d;
  }
  return -1;
}

// The textbook algorithm with a heap (Numer Math 1959;1:269-271, doi 10.1007/BF01386390) over pixel and direction: a step of
// length l costs l times the mean cost on its way, of two pixels or, for a long one, of the mean of its ends and that of
// the two pixels between; a turn to the next direction in place costs 12.
std::vector<double> ByHeap(const CostMap& map, Pixel root) {
  constexpr int kRight[] = {1, 2, 1, 1, 0, -1, -1, -2, -1, -2, -1, -1, 0, 1, 1, 2}, kDown[] = {0, 1, 1, 2, 1, 2, 1, 1, 0, -1, -1, -2, -1, -2, -1, -1};
  const auto cost = [&](int c, int r) { return static_cast<double>(map.costs[static_cast<std::size_t>((r + 1) * (map.columns + 2) + c + 1)]); };
  std::vector<double> price(static_cast<std::size_t>(16 * map.rows * map.columns), std::numeric_limits<double>::infinity());
  std::priority_queue<std::pair<double, int>, std::vector<std::pair<double, int>>, std::greater<>> queue;
  const auto offer = [&](int state, double there) {
    if (there < price[static_cast<std::size_t>(state)]) price[static_cast<std::size_t>(state)] = there, queue.emplace(there, state);
  };
  for (int d = 0; d < 16; ++d) offer(16 * (root.row * map.columns + root.column) + d, 0.0);
  while (!queue.empty()) {
    const auto [here, state] = queue.top();
    queue.pop();
    if (here > price[static_cast<std::size_t>(state)]) continue;
    const int d = state % 16, c = state / 16 % map.columns, r = state / 16 / map.columns;
    offer(state - d + (d + 1) % 16, here + 12.0);
    offer(state - d + (d + 15) % 16, here + 12.0);
    const int dx = kRight[d], dy = kDown[d], to_c = c + dx, to_r = r + dy;
    if (to_c < 0 || to_r < 0 || to_c >= map.columns || to_r >= map.rows) continue;
    double mean = 0.5 * (cost(c, r) + cost(to_c, to_r));
    if (std::abs(dx) == 2 || std::abs(dy) == 2) mean = 0.5 * mean + 0.25 * (cost(c + dx / 2, r + dy / 2) + cost(to_c - dx / 2, to_r - dy / 2));
    offer(16 * (to_r * map.columns + to_c) + d, here + std::hypot(dx, dy) * mean);
  }
  return price;
}

// Costs as CostOf makes them, with some far dearer, as where a second route is sought, and beyond the round of buckets.
TEST(TurningTree, AndTheSmoothestPathCostWhatTheTextbookAlgorithmFinds) {
  std::mt19937 random(8);
  for (int trial = 0; trial < 12; ++trial) {
    const int rows = 1 + static_cast<int>(random() % 30), columns = 1 + static_cast<int>(random() % 30);
    CostMap map{rows, columns, std::vector<float>(static_cast<std::size_t>((rows + 2) * (columns + 2)), std::numeric_limits<float>::infinity())};
    for (int r = 1; r <= rows; ++r) {
      for (int c = 1; c <= columns; ++c) {
        const float strength = static_cast<float>(random() % 1000) / 1000.0f, dearer = trial % 3 == 2 && random() % 5 == 0 ? 100.0f : 1.0f;
        map.costs[static_cast<std::size_t>(r * (columns + 2) + c)] = dearer / (0.02f + 1.5f * strength * strength);
      }
    }
    const Pixel root{static_cast<int>(random() % static_cast<unsigned>(columns)), static_cast<int>(random() % static_cast<unsigned>(rows))};
    const auto best = ByHeap(map, root);
    const TurningTree tree = CheapestTurns(map, root);
    for (int k = 0; k < 40; ++k) {
      const Pixel to{static_cast<int>(random() % static_cast<unsigned>(columns)), static_cast<int>(random() % static_cast<unsigned>(rows))};
      const auto* prices = best.data() + 16 * (to.row * columns + to.column);
      const double least = *std::min_element(prices, prices + 16);
      const auto path = SmoothestPath(map, std::vector<Pixel>{root, to});
      ASSERT_EQ(path.back(), to);
      EXPECT_NEAR(PathCost(map, path), least, 1e-3 + 1e-4 * least) << trial;
      EXPECT_NEAR(PathCost(map, WalkedBack(tree, to, CheapestDirection(tree, to))), least, 3.0 + 1e-4 * least) << trial;  // a quarter of a turn: its grain
      const auto place = static_cast<std::size_t>(to.row * columns + to.column);
      for (std::size_t d = 0; d < 16; ++d) {
        EXPECT_NEAR(tree.dearer[8 * place + d / 2] >> (4 * (d % 2)) & 15, std::min(15.0, (prices[d] - least) / 6.0), 0.51) << trial;
      }
    }
  }
}

// What follows the cursor and what is then shown are the same path, or two of one price.
TEST(TurningTree, HoldsThePathThatTheTraceTakes) {
  const Tube faint{.radius = 3.0, .angle_deg = 0.0, .darkness = 3.0, .bow = 30.0, .noise = 1.0};
  Picture picture = Together(Drawn(faint), Drawn({.radius = 5.0, .angle_deg = 62.0, .darkness = 9.0}));
  picture = Together(picture, Drawn({.radius = 5.0, .angle_deg = 118.0, .darkness = 9.0}));
  const CostMap cost = CostOf(VesselnessOf(picture));
  const Pixel root = Nearest(AxisAt(faint, -70.0));
  const TurningTree tree = CheapestTurns(cost, root);
  for (const double along : {-40.0, 0.0, 33.0, 70.0}) {
    const Pixel to = Nearest(AxisAt(faint, along));
    const auto walked = WalkedBack(tree, to, CheapestDirection(tree, to));
    ASSERT_FALSE(walked.empty());
    EXPECT_EQ(walked.back(), root);
    const auto shown = SmoothestPath(cost, std::vector<Pixel>{root, to});
    EXPECT_NEAR(PathCost(cost, walked), PathCost(cost, shown), 0.01 * PathCost(cost, shown) + 6.0) << along;  // half a turn's step: the tree's own grain
  }
}

TEST(TurningTree, StaysInsideItsWindowAtThePicturesRim) {
  const CostMap cost = CostOf(VesselnessOf(Drawn({.size = 60})));
  const TurningTree tree = CheapestTurns(cost, {0, 59}, 20);
  EXPECT_EQ(tree.left, 0);
  EXPECT_EQ(tree.top, 39);
  EXPECT_EQ(tree.columns, 21);
  EXPECT_EQ(tree.rows, 21);
  for (int row = 39; row < 60; ++row) {
    for (int column = 0; column < 21; ++column) {
      const auto path = WalkedBack(tree, {column, row}, CheapestDirection(tree, {column, row}));
      ASSERT_FALSE(path.empty());
      ASSERT_EQ(path.back(), (Pixel{0, 59}));
    }
  }
}

// The pair is one dark band; its middle belongs to neither. Two clicks on the vessel say which is meant.
TEST(Trace, OfTwoVesselsOnEachOtherTheClickedOneIsFollowed) {
  const Tube own{.radius = 5.0, .angle_deg = 10.0, .noise = 1.0};
  for (const double away : {7.0, 9.0}) {
    Tube other{.radius = 5.0, .angle_deg = 10.0, .bow = -1.5 * away};
    Picture lower = Drawn(other), shifted = lower;
    for (int row = 0; row < lower.rows; ++row) {  // moved down by `away`
      const int from = std::max(0, row - static_cast<int>(away));
      std::copy_n(lower.values.begin() + from * lower.columns, lower.columns, shifted.values.begin() + row * lower.columns);
    }
    const Picture picture = Together(Drawn(own), shifted);
    TraceRequest request;
    request.through = {AxisAt(own, -60.0), AxisAt(own, 0.0), AxisAt(own, 60.0)};
    const auto trace = TraceVessel(picture, VesselnessOf(picture), request);
    ASSERT_TRUE(trace.ok());
    double worst = 0.0, sum = 0.0;
    for (const TracedPoint& p : trace->points) {
      const double a = own.angle_deg * std::numbers::pi / 180.0;
      const double off = std::abs(-(p.centre.x - 79.5) * std::sin(a) + (p.centre.y - 79.5) * std::cos(a));
      worst = std::max(worst, off), sum += off;
    }
    EXPECT_LT(worst, 3.0) << away;
    EXPECT_LT(sum / static_cast<double>(trace->points.size()), 1.0) << away;
  }
}

}  // namespace
}  // namespace fairlead
