// SPDX-License-Identifier: Apache-2.0
// Expected: the definition, worked in closed form for straight segments; the worked segment's figures were computed by
// hand from its direction (0.513265, -0.293294, -0.806559); the painted map against the definition pair by pair.
#include "reasoning/views/view_map.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace fairlead {
namespace {

const std::vector<Vec3> kWorked{{10, -25, 35}, {24, -33, 13}};

TEST(ViewMap, GivesTheWorkedSegmentItsForeshortening) {
  const ViewGrid grid;
  const auto map = ForeshorteningMap(grid, kWorked, 1);
  struct Want { double primary, secondary, share; };
  for (const Want& want : std::vector<Want>{{-30, 0, 0.0}, {0, 40, 0.0441}, {60, 20, 0.0399}, {-20, -20, 0.0709}, {45, -25, 0.4859}}) {
    EXPECT_NEAR(map[grid.CellOf({Angle::Degrees(want.primary), Angle::Degrees(want.secondary)})], want.share, 2e-4) << want.primary;
  }
}

TEST(ViewMap, IsOneMinusTheSineForAStraightSegment) {
  const ViewGrid grid{-120, -60, 3, 81, 41};
  const auto map = ForeshorteningMap(grid, std::vector<Vec3>{{0, 0, 0}, {0, 0, 7}, {0, 0, 30}}, 1);
  for (std::size_t i = 0; i < grid.cells(); ++i) {
    EXPECT_NEAR(map[i], 1.0 - std::cos(grid.AnglesAt(i).secondary.radians()), 2e-6);
  }
}

std::vector<Vec3> RandomCourse(std::mt19937_64& random, int points, double step) {
  const auto share = [&] { return static_cast<double>(random() >> 11) * 0x1p-53 - 0.5; };
  Vec3 at{60 * share(), 60 * share(), 60 * share()}, way = Unit({share(), share(), share()});
  std::vector<Vec3> course;
  for (int i = 0; i < points; ++i) {
    course.push_back(at);
    way = Unit(way + 0.3 * Vec3{share(), share(), share()});
    at = at + step * way;
  }
  return course;
}

VesselTree RandomTree(unsigned seed) {
  std::mt19937_64 random(seed);
  VesselTree tree;
  tree.target = RandomCourse(random, 25, 0.8);
  tree.target_radius.assign(25, 0.9);
  for (int k = 0; k < 4; ++k) {
    const auto course = RandomCourse(random, 60, 1.0);
    tree.vessels.push_back({"v", course, std::vector<double>(course.size(), 1.2)});
  }
  return tree;
}

TEST(ViewMap, PaintsTheOverlapOfTheDefinition) {
  const ViewGrid grid{-100, -50, 2, 101, 51};
  for (const unsigned seed : {1U, 2U, 3U, 4U}) {
    const TreeBalls balls = BallsOf(RandomTree(seed));
    ASSERT_GT(balls.neighbours.size(), 100U);
    const auto map = OverlapMap(grid, balls, 2);
    std::size_t differ = 0, covered = 0;
    double worst = 0.0;
    for (std::size_t i = 0; i < grid.cells(); i += 3) {
      const double want = OverlapByDefinition(grid.AnglesAt(i), balls), off = std::abs(static_cast<double>(map[i]) - want);
      covered += want > 0.0;
      differ += off > 1e-6;
      worst = std::max(worst, off);
    }
    EXPECT_GT(covered, 100U) << seed;
    EXPECT_LT(worst, 2.5 / static_cast<double>(balls.target.size())) << seed;
    EXPECT_LT(static_cast<double>(differ), 0.02 * static_cast<double>(grid.cells()) / 3.0) << seed;
  }
}

TEST(ViewMap, IsTheSameOnOneThreadAndTwo) {
  const TreeBalls balls = BallsOf(RandomTree(9));
  const ViewGrid grid;
  EXPECT_EQ(OverlapMap(grid, balls, 1), OverlapMap(grid, balls, 2));
  const VesselTree tree = RandomTree(9);
  EXPECT_EQ(ForeshorteningMap(grid, tree.target, 1), ForeshorteningMap(grid, tree.target, 2));
}

TEST(ViewMap, FindsNothingWhereNoVesselStandsInTheBeam) {
  VesselTree tree;
  tree.target = {{0, 0, -5}, {0, 0, 5}};
  tree.target_radius = {1, 1};
  tree.vessels.push_back({"behind", {{0, 40, -10}, {0, 40, 10}}, {1, 1}});
  const TreeBalls balls = BallsOf(tree);
  EXPECT_EQ(OverlapByDefinition({}, balls), 1.0);  // straight behind it in the frontal view
  const ViewGrid grid;
  const auto map = OverlapMap(grid, balls, 1);
  EXPECT_EQ(map[grid.CellOf({})], 1.0F);
  EXPECT_EQ(map[grid.CellOf({Angle::Degrees(10), Angle()})], 0.0F);
  EXPECT_EQ(map[grid.CellOf({Angle::Degrees(90), Angle()})], 0.0F);
}

TEST(ViewMap, LeavesOutTheTargetsOwnVesselAndTheBeginningsOfItsBranches) {
  VesselTree tree;
  std::vector<Vec3> course, branch;
  for (int i = 0; i <= 60; ++i) course.push_back({0, 0, static_cast<double>(i)});
  for (int i = 0; i <= 20; ++i) branch.push_back({static_cast<double>(i), 0, 30});
  tree.vessels = {{"main", course, std::vector<double>(61, 1.0)}, {"branch", branch, std::vector<double>(21, 1.0)}};
  tree.target.assign(course.begin() + 20, course.begin() + 41);
  tree.target_radius.assign(21, 1.0);
  for (const Ball& ball : BallsOf(tree).neighbours) {
    if (ball.at.x > 0.0) EXPECT_GT(ball.at.x, 5.0 + 2.0 - 1e-9);
    else EXPECT_TRUE(ball.at.z < 20 - 2 - 5 + 1e-9 || ball.at.z > 40 + 2 + 5 - 1e-9) << ball.at.z;
  }
}

TEST(ViewMap, TurnsWithTheWholeScene) {
  const VesselTree tree = RandomTree(5);
  VesselTree turned = tree;
  const double s = std::sin(0.5), c = std::cos(0.5);
  const auto turn = [&](Vec3& p) { p = {c * p.x - s * p.y, s * p.x + c * p.y, p.z}; };
  for (Vec3& p : turned.target) turn(p);
  for (Tube& tube : turned.vessels) for (Vec3& p : tube.course) turn(p);
  const TreeBalls before = BallsOf(tree), after = BallsOf(turned);
  for (double primary = -50; primary <= 50; primary += 7) {
    const GantryAngles a{Angle::Degrees(primary), Angle::Degrees(20)}, b{Angle::Degrees(primary) + Angle::Radians(0.5), Angle::Degrees(20)};
    EXPECT_NEAR(OverlapByDefinition(a, before), OverlapByDefinition(b, after), 1e-12);
  }
}

}  // namespace
}  // namespace fairlead
