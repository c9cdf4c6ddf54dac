// SPDX-License-Identifier: Apache-2.0
#include "imaging/ruler/gap.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace fairlead {
namespace {

PixelSize Scale(double mm = 0.2, double sd = 0.006) {
  PixelSize pixel;
  pixel.per_pixel = Length::Millimetres(mm), pixel.sd = Length::Millimetres(sd), pixel.method = "given";
  return pixel;
}
GapRequest Straight() {
  GapRequest r;
  r.near.cap = {100.0, 100.0}, r.far.cap = {192.0, 100.0}, r.pixel = Scale();
  return r;
}
// An arc of the given turn whose chord is 100 pixels long, with 30 pixels of straight lumen before and after.
GapRequest Arc(double turn_deg) {
  const double half = 0.5 * turn_deg * std::numbers::pi / 180.0;
  GapRequest r;
  r.near.cap = {100.0, 100.0}, r.far.cap = {200.0, 100.0}, r.pixel = Scale();
  r.near.lumen = PixelPoint{100.0 - 30.0 * std::cos(half), 100.0 - 30.0 * std::sin(half)};
  r.far.lumen = PixelPoint{200.0 + 30.0 * std::cos(half), 100.0 - 30.0 * std::sin(half)};
  return r;
}
double Part(const Gap& gap, std::string_view name) {
  for (const auto& part : gap.length.parts) if (part.name.starts_with(name)) return part.sd.millimetres();
  return 0.0;
}

TEST(Gap, BothCapsInOneFrameGiveTheirDistanceAndOnlyItsOwnErrors) {
  const auto gap = MeasureGap(Straight());
  ASSERT_TRUE(gap.ok());
  EXPECT_NEAR(gap->length.value.millimetres(), 18.4, 1e-9);
  EXPECT_NEAR(Part(*gap, "clicks"), std::numbers::sqrt2 * 0.2, 1e-6);       // two clicks of 1 pixel along the line
  EXPECT_NEAR(Part(*gap, "size of a pixel"), 18.4 * 0.03, 1e-9);
  EXPECT_EQ(Part(*gap, "two moments"), 0.0);
  EXPECT_NE(gap->length.origin.method.find("one frame"), std::string::npos);
  EXPECT_FALSE(gap->bend) << "a straight line that nobody saw has no bend";
}

TEST(Gap, TwoMomentsAddTheirMotionAndALandmarkTakesItsShiftOut) {
  GapRequest r = Straight();
  const double alone = MeasureGap(r)->length.sd->millimetres();
  r.moments = GapMoments::kTwoRuns;
  const auto plain = MeasureGap(r);
  EXPECT_NEAR(plain->length.sd->millimetres(), std::hypot(alone, 3.0), 1e-9);
  r.far.cap.x += 10.0, r.far.cap.y -= 7.0;  // the heart has moved, and the landmark with it
  r.landmark_near = PixelPoint{50.0, 60.0}, r.landmark_far = PixelPoint{60.0, 53.0};
  const auto moved = MeasureGap(r);
  EXPECT_NEAR(moved->length.value.millimetres(), 18.4, 1e-9);
  EXPECT_LT(moved->length.sd->millimetres(), plain->length.sd->millimetres());
  EXPECT_NE(moved->length.origin.method.find("landmark"), std::string::npos);
}

// An arc is longer than its chord by (turn / 2) / sin(turn / 2), in closed form.
TEST(Gap, ACourseByTheWayEachLumenComesIsAsLongAsTheArcBetween) {
  for (const double turn : {0.0, 30.0, 60.0, 90.0, 120.0}) {
    const double half = 0.5 * turn * std::numbers::pi / 180.0, arc = turn > 0.0 ? half / std::sin(half) : 1.0;
    const auto gap = MeasureGap(Arc(turn));
    ASSERT_TRUE(gap.ok());
    EXPECT_NEAR(gap->length.value.millimetres(), 20.0 * arc, 20.0 * 0.003) << turn;
    EXPECT_GE(gap->length.value.millimetres(), gap->chord.millimetres() - 1e-9);
  }
}

// Two straight limbs through a click at their corner: the bend is the angle between them.
TEST(Gap, TheBendOfTwoLimbsIsTheAngleBetweenThem) {
  for (const double deg : {0.0, 20.0, 45.0, 70.0, 110.0}) {
    GapRequest r = Straight();
    const double a = deg * std::numbers::pi / 180.0;
    r.between = {{160.0, 100.0}};
    r.far.cap = {160.0 + 60.0 * std::cos(a), 100.0 + 60.0 * std::sin(a)};
    const auto gap = MeasureGap(r);
    ASSERT_TRUE(gap.ok() && gap->bend);
    EXPECT_NEAR(gap->bend->largest.degrees(), deg, 1.0);
    EXPECT_GT(gap->bend->by_clicks.degrees(), 1.0);
    EXPECT_GT(gap->bend->sd, gap->bend->by_clicks);
  }
}

TEST(Gap, TheOddsOfABendAreHalfAtTheLimitWithoutLeanAndNeverSureWithIt) {
  const auto deg = [](double d) { return Angle::Degrees(d); };
  EXPECT_NEAR(OddsOver45(deg(45), deg(4), deg(0)), 0.5, 1e-12);
  EXPECT_NEAR(OddsOver45(deg(49), deg(4), deg(0)), 0.8413, 1e-4);  // one sd above, table of the normal distribution
  EXPECT_NEAR(OddsOver45(deg(41), deg(4), deg(0)), 0.1587, 1e-4);
  EXPECT_GT(OddsOver45(deg(30), deg(4), deg(15)), 0.01);
  EXPECT_LT(OddsOver45(deg(50), deg(4), deg(15)), 0.97);
  double before = 0.0;
  for (double d = 0.0; d <= 120.0; d += 10.0) {
    const double odds = OddsOver45(deg(d), deg(4), deg(15));
    EXPECT_GE(odds, before);
    before = odds;
  }
}

// Two limbs in line that lean by a and b differ by |a - b|: root mean square sqrt(2) of each, in closed form.
TEST(Gap, ALineThatLooksStraightMayBendByWhatItsLimbsLean) {
  EXPECT_NEAR(BendByLean(Angle::Degrees(0.0), Angle::Degrees(15.0)).degrees(), 15.0 * std::numbers::sqrt2, 0.4);
  EXPECT_NEAR(BendByLean(Angle::Degrees(40.0), Angle::Degrees(0.0)).degrees(), 0.0, 1e-6);
}

// Against drawing lots: two limbs that lean by chance, the angle between them in space.
TEST(Gap, TheOddsAgreeWithDrawingLots) {
  std::uint64_t state = 7;
  const auto uniform = [&] { return state = state * 6364136223846793005ULL + 1442695040888963407ULL, (static_cast<double>(state >> 11) + 0.5) / 9007199254740992.0; };
  const auto normal = [&] { const double u = uniform(), v = uniform(); return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v); };
  for (const double seen : {35.0, 45.0, 55.0}) {
    int over = 0;
    constexpr int kLots = 40000;
    for (int i = 0; i < kLots; ++i) {
      const double turn = (seen + 4.0 * normal()) * std::numbers::pi / 180.0, a = 15.0 * normal() * std::numbers::pi / 180.0, b = 15.0 * normal() * std::numbers::pi / 180.0;
      const double dot = std::cos(a) * std::cos(b) * std::cos(turn) + std::sin(a) * std::sin(b);
      if (std::acos(dot) > std::numbers::pi / 4.0) ++over;
    }
    EXPECT_NEAR(OddsOver45(Angle::Degrees(seen), Angle::Degrees(4.0), Angle::Degrees(15.0)), static_cast<double>(over) / kLots, 0.015) << seen;
  }
}

TEST(Gap, WhatCannotBeMeasuredIsRefusedWithAReason) {
  GapRequest r = Straight();
  r.far.cap = r.near.cap;
  EXPECT_FALSE(MeasureGap(r).ok());
  r = Straight(), r.landmark_near = PixelPoint{1, 1};
  EXPECT_EQ(MeasureGap(r).error().where, "landmark");
  r = Straight(), r.far.cap.x = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(MeasureGap(r).ok());
  r = Straight(), r.pixel = {};
  EXPECT_EQ(MeasureGap(r).error().where, "pixel_size");
}

}  // namespace
}  // namespace fairlead
