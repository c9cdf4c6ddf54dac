// SPDX-License-Identifier: Apache-2.0
// Circles, helices and corners, whose lengths and turns are known in closed form.
#include "geometry/curve.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <random>
#include <vector>

namespace fairlead {
namespace {

std::vector<Vec3> Helix(double radius, double rise, double turns, int points) {
  std::vector<Vec3> course;
  for (int i = 0; i <= points; ++i) {
    const double t = 2 * std::numbers::pi * turns * i / points;
    course.push_back({radius * std::cos(t), radius * std::sin(t), rise * t / (2 * std::numbers::pi)});
  }
  return course;
}

TEST(LengthOf, AHelixIsItsClosedForm) {
  const double want = 3 * std::sqrt(std::pow(2 * std::numbers::pi * 10, 2) + 8 * 8);
  // A chord of angle h is shorter than its arc by h^2/24: 1.5e-6 here.
  EXPECT_NEAR(LengthOf(Helix(10, 8, 3, 3000)).millimetres(), want, want * 2e-6);
  EXPECT_EQ(LengthOf({}).millimetres(), 0.0);
}

TEST(Resample, SpacesPointsEvenlyAndKeepsTheEnds) {
  std::mt19937_64 random(23);
  for (int trial = 0; trial < 300; ++trial) {
    std::vector<Vec3> course;
    const int points = 2 + static_cast<int>(random() % 20);
    for (int i = 0; i < points; ++i) course.push_back({static_cast<double>(random() % 100), static_cast<double>(random() % 100), 0});
    const double length = LengthOf(course).millimetres();
    if (length == 0) continue;
    const auto even = Resample(course, Length::Millimetres(0.5)).value();
    EXPECT_EQ(even.front(), course.front());
    EXPECT_EQ(even.back(), course.back());
    EXPECT_LE(LengthOf(even).millimetres(), length + 1e-9);  // corners are cut, never added
    for (std::size_t i = 1; i < even.size(); ++i) ASSERT_LE(Norm(even[i] - even[i - 1]), 0.5 + 1e-9);
  }
}

TEST(Resample, RefusesNothingZeroAndNotANumber) {
  EXPECT_FALSE(Resample({}, Length::Millimetres(1)).ok());
  EXPECT_FALSE(Resample(std::vector<Vec3>{{0, 0, 0}, {1, 0, 0}}, Length::Millimetres(0)).ok());
  EXPECT_FALSE(Resample(std::vector<Vec3>{{0, 0, 0}, {std::numeric_limits<double>::quiet_NaN(), 0, 0}}, Length::Millimetres(1)).ok());
  EXPECT_EQ(Resample(std::vector<Vec3>{{3, 0, 0}}, Length::Millimetres(1))->size(), 2u);  // a single point is its own course
}

TEST(PointAt, WalksAlongAndStopsAtTheEnds) {
  const std::vector<Vec3> course{{0, 0, 0}, {4, 0, 0}, {4, 3, 0}};
  EXPECT_EQ(PointAt(course, Length::Millimetres(5)), (Vec3{4, 1, 0}));
  EXPECT_EQ(PointAt(course, Length::Millimetres(-1)), course.front());
  EXPECT_EQ(PointAt(course, Length::Millimetres(99)), course.back());
  EXPECT_NEAR(LengthOf(PartOf(course, Length::Millimetres(1.5), Length::Millimetres(6))).millimetres(), 4.5, 1e-12);
}

TEST(Tangents, OfAHelixHaveItsSlope) {
  for (const Vec3& t : Tangents(Helix(10, 8, 2, 2000))) {
    EXPECT_NEAR(t.z, 8 / std::sqrt(std::pow(2 * std::numbers::pi * 10, 2) + 64), 1e-4);
  }
}

TEST(LargestBend, FindsACornerAndItsPlace) {
  const double turn = 50 * std::numbers::pi / 180;
  const std::vector<Vec3> corner{{0, 0, 0}, {20, 0, 0}, {20 + 20 * std::cos(turn), 20 * std::sin(turn), 0}};
  const Bend bend = LargestBend(corner);
  EXPECT_NEAR(bend.turn.degrees(), 50, 1e-9);
  EXPECT_NEAR(bend.at.millimetres(), 20, 1e-9);
}

TEST(LargestBend, OfACircleIsTheAngleOfOneWindow) {
  // Two chords of arc s on radius r meet at s/r.
  EXPECT_NEAR(LargestBend(Helix(12, 0, 0.5, 4000)).turn.radians(), 5.0 / 12.0, 1e-4);
  EXPECT_EQ(LargestBend(std::vector<Vec3>{{0, 0, 0}, {9, 0, 0}}).turn.degrees(), 0.0);
  EXPECT_NEAR(LargestBend(std::vector<Vec3>{{0, 0, 0}, {2, 0, 0}, {2, 2, 0}}).turn.degrees(), 90.0, 1e-9);
}

}  // namespace
}  // namespace fairlead
