// SPDX-License-Identifier: Apache-2.0
// The expected numbers are worked by hand from the definition of the positioner's angles in DICOM PS3.3 C.8.7.5 and
// C.8.19 (closed forms, checked against a ray-plane intersection with rotations built by axis and angle).
#include "geometry/view.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "tests/geometry/worked_views.h"

namespace fairlead {
namespace {

const View kA = TheView(-30, -20, 1050), kB = TheView(45, 25, 1100);

void ExpectNear(Vec3 got, Vec3 want, double tolerance) {
  EXPECT_NEAR(got.x, want.x, tolerance);
  EXPECT_NEAR(got.y, want.y, tolerance);
  EXPECT_NEAR(got.z, want.z, tolerance);
}

// Half a unit of the sixth printed digit.
constexpr double kPrinted = 0.51e-6;

TEST(View, HasTheAxesAndSourceOfTheWorkedViews) {
  ExpectNear(AxesOf(kA).beam, {-0.469846, -0.813798, -0.342020}, kPrinted);
  ExpectNear(AxesOf(kA).column, {0.866025, -0.5, 0}, kPrinted);
  ExpectNear(AxesOf(kA).row, {0.171010, 0.296198, -0.939693}, kPrinted);
  ExpectNear(SourceOf(kA), {352.384733, 610.348261, 256.515107}, kPrinted);
  ExpectNear(AxesOf(kB).beam, {0.640856, -0.640856, 0.422618}, kPrinted);
  ExpectNear(AxesOf(kB).column, {0.707107, 0.707107, 0}, kPrinted);
  ExpectNear(AxesOf(kB).row, {0.298836, -0.298836, -0.906308}, kPrinted);
  ExpectNear(SourceOf(kB), {-480.642287, 480.642287, -316.963696}, kPrinted);
  EXPECT_NEAR(AngleBetweenBeams(kA, kB).degrees(), 85.648244, kPrinted);
}

struct Worked {
  Vec3 point;
  double a_column, a_row, a_depth, a_px, b_column, b_row, b_depth, b_px;
};
const std::vector<Worked> kWorked{
    {{0, 0, 0}, 255.5, 255.5, 750, 0.279018, 255.5, 255.5, 750, 0.266335},
    {{20, -15, 10}, 344.529131, 218.125401, 749.389838, 0.278791, 268.319139, 260.562308, 776.656156, 0.275801},
    {{-12, 30, -25}, 163.236081, 365.691194, 739.774729, 0.275214, 305.803009, 295.442971, 712.518575, 0.253025},
    {{35, 5, 40}, 359.935718, 142.387974, 715.805585, 0.266297, 356.817168, 157.754357, 786.130422, 0.279166},
    {{-40, -20, 15}, 170.576681, 162.929973, 779.939504, 0.290156, 94.815127, 181.375916, 743.522146, 0.264035},
    {{0, 0, 60}, 255.5, 47.743959, 729.478791, 0.271383, 255.5, 58.004208, 775.357096, 0.275340}};

TEST(View, ProjectsTheWorkedPointsToTheirPrintedDigits) {
  for (const Worked& w : kWorked) {
    const ImagePoint a = *Project(kA, w.point), b = *Project(kB, w.point);
    EXPECT_NEAR(a.column, w.a_column, kPrinted);
    EXPECT_NEAR(a.row, w.a_row, kPrinted);
    EXPECT_NEAR(DepthOf(kA, w.point).millimetres(), w.a_depth, kPrinted);
    EXPECT_NEAR(PixelSizeAt(kA, DepthOf(kA, w.point)).millimetres(), w.a_px, kPrinted);
    EXPECT_NEAR(b.column, w.b_column, kPrinted);
    EXPECT_NEAR(b.row, w.b_row, kPrinted);
    EXPECT_NEAR(DepthOf(kB, w.point).millimetres(), w.b_depth, kPrinted);
    EXPECT_NEAR(PixelSizeAt(kB, DepthOf(kB, w.point)).millimetres(), w.b_px, kPrinted);
  }
}

TEST(View, HasTheWorkedMatrix) {
  const std::vector<double> want{2207.830553, -1551.925308, -87.386147,   191625,    339.629340, 588.255273,
                                 -2613.279911, 191625,      -0.469846, -0.813798, -0.342020,  750};
  const auto got = ProjectionMatrix(kA);
  for (std::size_t i = 0; i < 12; ++i) EXPECT_NEAR(got[i], want[i], kPrinted) << i;
}

TEST(View, SendsRaysBackAsWorked) {
  ExpectNear(RayOf(kA, *Project(kA, {20, -15, 10})).direction, {-0.443255, -0.833939, -0.328742}, kPrinted);
  ExpectNear(RayOf(kB, *Project(kB, {20, -15, 10})).direction, {0.644605, -0.638167, 0.420984}, kPrinted);
}

TEST(View, ShiftsThePictureWithThePatient) {
  View moved = kB;
  moved.patient_shift = {12, -4, 7};
  EXPECT_NEAR(Project(moved, {20, -15, 10})->column, 288.272259, kPrinted);
  EXPECT_NEAR(Project(moved, {20, -15, 10})->row, 254.906102, kPrinted);
}

TEST(View, PassesTheSignTestsOfAnyPatient) {
  for (double primary = -80; primary <= 80; primary += 10) {
    for (double secondary = -80; secondary <= 80; secondary += 10) {
      const View view = TheView(primary, secondary, 1000);
      EXPECT_LT(Project(view, {0, 0, 60})->row, 255.5);     // towards the head is up
      EXPECT_GT(Project(view, {40, 0, 0})->column, 255.5);  // the patient's left is on the right of the picture
      const double spine = Project(view, {0, 50, 0})->column - 255.5;
      EXPECT_EQ(spine > 1e-9, primary > 0);   // the spine lies right of the heart in LAO,
      EXPECT_EQ(spine < -1e-9, primary < 0);  // left of it in RAO
    }
  }
}

TEST(View, IsSeenFromTheDetector) {
  std::mt19937_64 random(3);
  for (int trial = 0; trial < 1000; ++trial) {
    const View view = TheView(static_cast<double>(random() % 3600) / 10 - 180, static_cast<double>(random() % 1800) / 10 - 90, 1000);
    const auto [beam, column, row] = AxesOf(view);
    EXPECT_NEAR(Dot(column, Cross(row, beam)), -1.0, 1e-12);
  }
}

TEST(View, FindsThePointAgainOnItsRay) {
  std::mt19937_64 random(7);
  const auto within = [&](double low, double high) { return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53; };
  for (int trial = 0; trial < 5000; ++trial) {
    View view = TheView(within(-90, 90), within(-50, 50), within(900, 1300));
    view.row_spacing = Length::Millimetres(within(0.1, 0.4));
    view.patient_shift = {within(-30, 30), within(-30, 30), within(-30, 30)};
    const Vec3 point{within(-80, 80), within(-80, 80), within(-80, 80)};
    const auto [from, direction] = RayOf(view, *Project(view, point));
    const Vec3 to = point - from;
    ASSERT_LT(Norm(to - Dot(to, direction) * direction), 1e-9) << trial;
  }
}

TEST(View, HasNoPictureOfAPointAtTheSource) {
  EXPECT_FALSE(Project(kA, SourceOf(kA)).has_value());
  EXPECT_FALSE(Project(kA, 1.5 * SourceOf(kA)).has_value());
}

TEST(View, RefusesWhatNoCArmCanBe) {
  EXPECT_TRUE(CheckView(kA).ok());
  const auto refused = [](auto change) {
    View view = kA;
    change(view);
    return !CheckView(view).ok();
  };
  EXPECT_TRUE(refused([](View& v) { v.source_to_detector = Length::Millimetres(700); }));
  EXPECT_TRUE(refused([](View& v) { v.source_to_isocentre = Length::Millimetres(0); }));
  EXPECT_TRUE(refused([](View& v) { v.column_spacing = Length::Millimetres(-0.2); }));
  EXPECT_TRUE(refused([](View& v) { v.row_spacing = Length::Millimetres(std::numeric_limits<double>::quiet_NaN()); }));
  EXPECT_TRUE(refused([](View& v) { v.secondary = Angle::Degrees(95); }));
  EXPECT_TRUE(refused([](View& v) { v.primary = Angle::Degrees(200); }));
  EXPECT_TRUE(refused([](View& v) { v.rows = 0; }));
  EXPECT_TRUE(refused([](View& v) { v.patient_shift.x = std::numeric_limits<double>::infinity(); }));
}

}  // namespace
}  // namespace fairlead
