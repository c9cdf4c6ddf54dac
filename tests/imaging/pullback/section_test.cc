// SPDX-License-Identifier: Apache-2.0
// Areas and diameters against circles and ellipses worked by hand.
#include "imaging/pullback/section.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace fairlead {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;

// An ellipse of half axes a and b with its centre at (x, y), seen from the catheter.
float Distance(double a, double b, double x, double y, std::size_t ray) {
  const double turn = kTurn * static_cast<double>(ray) / kAngles, dx = std::cos(turn) / a, dy = std::sin(turn) / b, px = -x / a, py = -y / b;
  const double qq = dx * dx + dy * dy, pq = px * dx + py * dy;
  return static_cast<float>((-pq + std::sqrt(pq * pq - qq * (px * px + py * py - 1.0))) / qq);
}

struct Made {
  Polar polar;
  Borders borders;
};
Made MadeOf(double lumen, double a, double b, double x, double y) {
  Made made;
  made.polar.frames = 1, made.polar.depth = 200, made.polar.step_mm = 0.025;
  made.polar.grey.assign(static_cast<std::size_t>(kAngles) * 200, 100);
  made.borders.step_mm = 0.025, made.borders.levels.adventitia = 100;
  BorderFrame frame;
  for (std::size_t k = 0; k < kAngles; ++k) frame.lumen[k] = Distance(lumen, lumen, 0.1, 0.0, k), frame.eem[k] = Distance(a, b, x, y, k);
  frame.lumen_seen.fill(1), frame.eem_seen.fill(1), frame.eem_clear.fill(1);
  made.borders.frames.push_back(frame);
  made.borders.too_bright = {false};
  return made;
}

TEST(Section, MeasuresACircleAndAnEllipseOffCentre) {
  const Made made = MadeOf(1.0, 2.2, 1.8, 0.4, -0.3);
  const PullbackSection s = MeasureSections(made.polar, made.borders, 0.05).front();
  EXPECT_NEAR(s.lumen.value, std::numbers::pi, 0.01);
  ASSERT_TRUE(s.eem.has_value());
  EXPECT_NEAR(s.eem->value, std::numbers::pi * 2.2 * 1.8, 0.02);
  EXPECT_NEAR(s.eem_min_mm, 3.6, 0.02);
  EXPECT_NEAR(s.eem_max_mm, 4.4, 0.02);
  EXPECT_NEAR(s.lumen_min_mm, 2.0, 0.01);
  EXPECT_NEAR(*s.burden, 1.0 - 1.0 / (2.2 * 1.8), 2e-3);
  EXPECT_DOUBLE_EQ(*s.z_mm, 0.0);
}

// 4 % of each length is 8 % of an area, whatever the borders add.
TEST(Section, CarriesTheCathetersOwnSizeError) {
  const Made made = MadeOf(1.0, 2.2, 1.8, 0.0, 0.0);
  const PullbackSection s = MeasureSections(made.polar, made.borders, {}).front();
  EXPECT_GE(s.eem->sd, 0.08 * s.eem->value);
  EXPECT_LE(s.eem->sd, 0.12 * s.eem->value);
  EXPECT_LE(s.burden_sd, 0.05);  // which leaves the ratio alone
  EXPECT_FALSE(s.z_mm.has_value());
}

TEST(Section, NamesWhatIsHidden) {
  Made made = MadeOf(1.0, 2.0, 2.0, 0.0, 0.0);
  auto& frame = made.borders.frames[0];
  for (std::size_t k = 126; k < 130; ++k) frame.eem_seen[k % kAngles] = 0;  // 11 degrees across the seam
  for (std::size_t k = 40; k < 60; ++k) {                                    // 56 degrees behind something bright
    frame.eem_seen[k] = 0;
    for (int i = 50; i < 56; ++i) made.polar.grey[k * 200 + static_cast<std::size_t>(i)] = 220;
  }
  for (std::size_t k = 80; k < 96; ++k) frame.eem_seen[k] = 0;               // 45 degrees behind nothing
  const PullbackSection s = MeasureSections(made.polar, made.borders, {}).front();
  ASSERT_EQ(s.hidden.size(), 3U);
  int calcium = 0, wire = 0, shadow = 0;
  for (const HiddenArc& arc : s.hidden) {
    calcium += arc.why == HiddenArc::Why::kCalcium, wire += arc.why == HiddenArc::Why::kWire, shadow += arc.why == HiddenArc::Why::kShadow;
  }
  EXPECT_EQ(calcium, 1);
  EXPECT_EQ(wire, 1);
  EXPECT_EQ(shadow, 1);
  EXPECT_NEAR(s.calcium_deg, 20 * 360.0 / kAngles, 0.1);
  EXPECT_TRUE(s.eem.has_value());
}

TEST(Section, DoesNotMeasureAVesselThatIsNotSeen) {
  Made made = MadeOf(1.0, 2.0, 2.0, 0.0, 0.0);
  for (std::size_t k = 0; k < 34; ++k) made.borders.frames[0].eem_seen[k] = 0;  // 96 degrees
  const PullbackSection s = MeasureSections(made.polar, made.borders, {}).front();
  EXPECT_FALSE(s.eem.has_value());
  EXPECT_FALSE(s.burden.has_value());
  for (auto& seen : made.borders.frames[0].eem_seen) seen = 0;
  EXPECT_FALSE(MeasureSections(made.polar, made.borders, {}).front().eem.has_value());
}

// Thirty frames whose smallest lumen, largest burden and references are known.
TEST(Summary, FindsTheSmallestLumenAndItsReferences) {
  Made made = MadeOf(1.0, 2.0, 2.0, 0.0, 0.0);
  made.borders.frames.clear();
  made.polar.frames = 30;
  made.polar.grey.assign(static_cast<std::size_t>(kAngles) * 200 * 30, 100);
  for (int f = 0; f < 30; ++f) made.borders.frames.push_back(MadeOf(1.75 - 0.9 * std::exp(-0.02 * (f - 17) * (f - 17)), 2.0, 2.0, 0.0, 0.0).borders.frames[0]);
  const auto sections = MeasureSections(made.polar, made.borders, 0.1);
  const PullbackSummary summary = Summarise(sections);
  EXPECT_EQ(*summary.smallest_lumen, 17);
  EXPECT_EQ(*summary.largest_burden, 17);
  EXPECT_EQ(*summary.first_reference, 0);
  EXPECT_EQ(*summary.last_reference, 29);
  EXPECT_FALSE(Summarise({}).smallest_lumen.has_value());
}

TEST(Section, DoesNotMeasureAVesselWhoseMediaDoesNotStandOut) {
  Made made = MadeOf(1.0, 2.0, 2.0, 0.0, 0.0);
  const double sure = MeasureSections(made.polar, made.borders, 0.05).front().eem->sd;
  for (std::size_t k = 0; k < 16; ++k) made.borders.frames[0].eem_clear[k * 8] = 0;  // an eighth of the rays
  made.borders.clear_share = 0.875;
  const PullbackSection less = MeasureSections(made.polar, made.borders, 0.05).front();
  ASSERT_TRUE(less.eem.has_value());
  EXPECT_GT(less.eem->sd, sure);
  EXPECT_EQ(less.hidden.front().why, HiddenArc::Why::kFaint);
  EXPECT_DOUBLE_EQ(less.calcium_deg, 0.0);
  for (std::size_t k = 0; k < 16; ++k) made.borders.frames[0].eem_clear[k * 8 + 3] = made.borders.frames[0].eem_clear[k * 8 + 5] = 0;
  EXPECT_FALSE(MeasureSections(made.polar, made.borders, 0.05).front().eem.has_value());
}

}  // namespace
}  // namespace fairlead
