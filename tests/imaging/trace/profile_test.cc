// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/profile.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/imaging/trace/references.h"

namespace fairlead {
namespace {

std::vector<ProfilePoint> Profile(double depth, double taper = -0.02) {
  std::vector<ProfilePoint> points;
  for (int i = 0; i <= 150; ++i) {
    const double l = 0.2 * i, d = 3.2 + taper * l - depth * std::exp(-std::pow((l - 16.0) / 2.5, 2.0));
    points.push_back({Length::Millimetres(l), Length::Millimetres(d), Length::Millimetres(0.05)});
  }
  return points;
}

TEST(Narrowing, IsWhatNumPyFindsOnTheSameProfile) {
  const auto found = NarrowingOf(Profile(1.7));
  ASSERT_TRUE(found.ok());
  const auto row = References("profile").at(0);
  EXPECT_NEAR(found->line.start.millimetres(), row[0], 1e-6);
  EXPECT_NEAR(found->line.taper, row[1], 1e-7);
  EXPECT_NEAR(found->least.millimetres(), row[2], 1e-9);
  EXPECT_NEAR(found->at.millimetres(), row[3], 1e-9);
  EXPECT_NEAR(found->reference.millimetres(), row[4], 1e-6);
  EXPECT_NEAR(found->stenosis_pct, row[5], 1e-4);
  EXPECT_NEAR(found->begins.millimetres(), row[6], 1e-9);
  EXPECT_NEAR(found->ends.millimetres(), row[7], 1e-9);
}

// DICOM PS3.17 T.2, interpolated reference: a straight line through the reference positions, at the place of the least.
TEST(Narrowing, ChosenStretchesGiveTheLineThroughThemAlone) {
  const std::vector<HealthyStretch> healthy{{Length::Millimetres(0), Length::Millimetres(6)}, {Length::Millimetres(24), Length::Millimetres(30)}};
  const auto found = NarrowingOf(Profile(1.7), healthy);
  ASSERT_TRUE(found.ok());
  EXPECT_NEAR(found->reference.millimetres(), 3.2 - 0.02 * found->at.millimetres(), 0.003);
  EXPECT_EQ(found->line.rounds, 0);
}

TEST(Narrowing, TurnsWithTheScaleAndGrowsWithTheDepth) {
  double before = -1.0;
  for (const double depth : {0.0, 0.5, 1.0, 1.5, 2.0}) {
    const auto found = NarrowingOf(Profile(depth));
    ASSERT_TRUE(found.ok());
    EXPECT_GT(found->stenosis_pct, before);
    before = found->stenosis_pct;
    auto larger = Profile(depth);
    for (auto& p : larger) p.diameter = p.diameter * 1.5;
    EXPECT_NEAR(NarrowingOf(larger)->stenosis_pct, found->stenosis_pct, 3.0);
  }
}

TEST(Narrowing, AVesselThatWidensDownstreamHasALevelReference) {
  const auto found = NarrowingOf(Profile(1.0, 0.03));
  ASSERT_TRUE(found.ok());
  EXPECT_EQ(found->line.taper, 0.0);
}

TEST(Narrowing, IsRefusedWhereTooLittleIsSeen) {
  auto points = Profile(1.7);
  for (std::size_t i = 8; i < points.size(); ++i) points[i].counts = false;
  EXPECT_FALSE(NarrowingOf(points).ok());
  points = Profile(1.7);
  points.resize(12);  // 2.2 mm
  EXPECT_FALSE(NarrowingOf(points).ok());
  const std::vector<HealthyStretch> nowhere{{Length::Millimetres(100), Length::Millimetres(110)}};
  EXPECT_FALSE(NarrowingOf(Profile(1.7), nowhere).ok());
  EXPECT_FALSE(NarrowingOf({}).ok());
}

TEST(RunningMedian, LeavesOutPlacesThatDoNotCount) {
  auto points = Profile(0.0, 0.0);
  points[50].diameter = Length::Millimetres(0.1);
  EXPECT_NEAR(RunningMedian(points)[50].millimetres(), 3.2, 1e-12);
  points[50].counts = false;
  EXPECT_NEAR(RunningMedian(points)[50].millimetres(), 0.1, 1e-12);
  EXPECT_NEAR(RunningMedian(points)[49].millimetres(), 3.2, 1e-12);
}

}  // namespace
}  // namespace fairlead
