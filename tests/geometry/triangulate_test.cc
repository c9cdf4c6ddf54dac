// SPDX-License-Identifier: Apache-2.0
// Expected numbers worked from the closed forms; the epipolar line by two constructions; the spread against 20 000
// perspective trials a row.
#include "geometry/triangulate.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "tests/geometry/worked_views.h"

namespace fairlead {
namespace {

const View kA = TheView(-30, -20, 1050), kB = TheView(45, 25, 1100);

Triangulated Seen(const View& used_b, const View& true_b, Vec3 point) {
  return Triangulate(std::vector<SeenAt>{{kA, *Project(kA, point)}, {used_b, *Project(true_b, point)}}).value();
}

TEST(Triangulate, FindsRandomPointsToANanometre) {
  std::mt19937_64 random(5);
  const auto within = [&](double low, double high) { return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53; };
  for (int trial = 0; trial < 3000; ++trial) {
    const View a = TheView(within(-60, -15), within(-30, 30), within(950, 1250));
    const View b = TheView(within(15, 60), within(-30, 30), within(950, 1250));
    const Vec3 point{within(-60, 60), within(-60, 60), within(-60, 60)};
    const auto found = Triangulate(std::vector<SeenAt>{{a, *Project(a, point)}, {b, *Project(b, point)}});
    ASSERT_TRUE(found.ok()) << trial;
    ASSERT_LT(Norm(found->point - point), 1e-9) << trial;
    ASSERT_LT(found->gap.millimetres(), 1e-9) << trial;
  }
}

TEST(Triangulate, ErrsAsWorkedWhenAnAngleIsWrongByOneDegree) {
  View wrong = kB;
  wrong.primary = Angle::Degrees(46);
  const Triangulated one = Seen(wrong, kB, {20, -15, 10}), two = Seen(wrong, kB, {60, -30, 40});
  EXPECT_NEAR(Norm(one.point - Vec3{20, -15, 10}), 0.414, 0.0021);  // the table's weights are those of one pass
  EXPECT_NEAR(one.gap.millimetres(), 0.155, 0.0006);
  EXPECT_NEAR(Norm(two.point - Vec3{60, -30, 40}), 1.110, 0.0051);
  EXPECT_NEAR(two.gap.millimetres(), 0.314, 0.0006);
}

TEST(Triangulate, KeepsASmallGapWhenThePatientMovedUnseen) {
  View moved = kB;
  moved.patient_shift = {12, -4, 7};
  const Triangulated unseen = Seen(kB, moved, {20, -15, 10});
  EXPECT_NEAR(unseen.gap.millimetres(), 0.875758, 0.51e-6);
  EXPECT_NEAR(Norm(unseen.point - Vec3{22.764858, -10.250907, 11.506018}), 0.0, 0.02);  // printed without weights
  EXPECT_LT(Norm(Seen(moved, moved, {20, -15, 10}).point - Vec3{20, -15, 10}), 1e-9);
  EXPECT_NEAR(Seen(kB, moved, {-12, 30, -25}).gap.millimetres(), 0.744072, 0.51e-6);
}

TEST(Triangulate, RefusesNarrowViewsAndWarnsBetween) {
  const auto with = [](double primary) {
    const View b = TheView(primary, 0, 1100), a = TheView(0, 0, 1100);
    return Triangulate(std::vector<SeenAt>{{a, *Project(a, {5, 5, 5})}, {b, *Project(b, {5, 5, 5})}});
  };
  EXPECT_FALSE(with(14.5).ok());
  EXPECT_EQ(with(14.5).error().what, "the views are less than 15 degrees apart, so depth cannot be told");
  EXPECT_TRUE(with(16)->narrow);
  EXPECT_FALSE(with(31)->narrow);
  EXPECT_FALSE(with(170).ok());  // nearly opposite is as narrow
  EXPECT_FALSE(Triangulate(std::vector<SeenAt>{{kA, {10, 10}}}).ok());
  EXPECT_FALSE(Triangulate(std::vector<SeenAt>{{kA, {10, 10}}, {kB, {std::nan(""), 10}}}).ok());
  View broken = kB;
  broken.rows = 0;
  EXPECT_FALSE(Triangulate(std::vector<SeenAt>{{kA, {10, 10}}, {broken, {9, 10}}}).ok());
}

TEST(EpipolarLine, IsTheWorkedOneAndHoldsTheTruePixel) {
  const ImageLine line = EpipolarLine(kA, *Project(kA, {20, -15, 10}), kB).value();
  EXPECT_NEAR(line.a, 0.416932, 0.51e-6);
  EXPECT_NEAR(line.b, 0.908938, 0.51e-6);
  EXPECT_NEAR(line.c, -348.705681, 0.51e-6);
  EXPECT_LT(DistanceTo(line, *Project(kB, {20, -15, 10})), 1e-9);
  EXPECT_NEAR(DistanceTo(line, {3021.382, -1002.273}), 0.0, 0.001);  // the picture of A's source
}

TEST(EpipolarLine, IsRefusedWhereTheSecondViewLooksAlongTheRay) {
  EXPECT_FALSE(EpipolarLine(kA, {255.5, 255.5}, kA).ok());
}

TEST(Triangulate, SpreadIsTheTabulatedOne) {
  const double want[][4] = {{10, 8.175, 8.113, 0.710}, {15, 5.510, 5.417, 0.713}, {20, 4.195, 4.072, 0.718},
                            {30, 2.915, 2.732, 0.732}, {40, 2.311, 2.067, 0.752}, {50, 1.977, 1.673, 0.780},
                            {60, 1.780, 1.414, 0.816}, {75, 1.626, 1.162, 0.891}, {90, 1.581, 1.000, 1.000}};
  for (const auto& [degrees, rms, worst, best] : want) {
    const TriangulationSpread spread = SpreadOf(Angle::Degrees(degrees));
    EXPECT_NEAR(spread.rms, rms, 0.00051);
    EXPECT_NEAR(spread.worst, worst, 0.00051);
    EXPECT_NEAR(spread.best, best, 0.00051);
    EXPECT_NEAR(SpreadOf(Angle::Degrees(180 - degrees)).rms, spread.rms, 1e-9);
  }
}

TEST(Triangulate, ErrsByTheSpreadForOnePixelOfNoise) {
  std::mt19937_64 random(19);
  const auto noise = [&] {  // sum of twelve uniforms: variance 1
    double sum = -6.0;
    for (int i = 0; i < 12; ++i) sum += static_cast<double>(random() >> 11) * 0x1p-53;
    return sum;
  };
  const View a = TheView(-30, 0, 1050), b = TheView(30, 0, 1050);
  double squares = 0.0;
  constexpr int kTrials = 4000;
  for (int trial = 0; trial < kTrials; ++trial) {
    const ImagePoint p = *Project(a, {}), q = *Project(b, {});
    const auto found = Triangulate(std::vector<SeenAt>{{a, {p.column + noise(), p.row + noise()}}, {b, {q.column + noise(), q.row + noise()}}});
    squares += Dot(found->point, found->point);
  }
  const double rms = std::sqrt(squares / kTrials) / PixelSizeAtIsocentre(a).millimetres();
  EXPECT_NEAR(rms, 1.780, 0.06);  // 3 standard errors of 4000 trials
}

}  // namespace
}  // namespace fairlead
