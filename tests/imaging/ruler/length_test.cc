// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "imaging/ruler/ruler.h"

namespace fairlead {
namespace {

PixelSize Pixel(double mm, double sd) { return {Length::Millimetres(mm), Length::Millimetres(sd), {}, "test", {}, {}}; }

TEST(MeasureLength, IsPixelsTimesPixelSize) {
  const std::vector<PixelPoint> points = {{10, 10}, {40, 50}};  // 3-4-5: 50 pixels
  const auto measured = MeasureLength(points, Pixel(0.3, 0.0));
  ASSERT_TRUE(measured.ok());
  EXPECT_DOUBLE_EQ(measured->reading.value.millimetres(), 15.0);
}

TEST(MeasureLength, SumsTheLegsOfABentLine) {
  const std::vector<PixelPoint> points = {{0, 0}, {30, 40}, {30, 100}};
  EXPECT_DOUBLE_EQ(MeasureLength(points, Pixel(0.5, 0.0))->reading.value.millimetres(), 55.0);
}

TEST(MeasureLength, DoesNotDependOnTheDirectionOfClicking) {
  std::mt19937_64 random(11);
  std::uniform_real_distribution<double> place(0.0, 511.0);
  for (int trial = 0; trial < 500; ++trial) {
    std::vector<PixelPoint> points(static_cast<std::size_t>(2 + trial % 9));
    for (auto& p : points) p = {place(random), place(random)};
    std::vector<PixelPoint> back(points.rbegin(), points.rend());
    const auto forth = MeasureLength(points, Pixel(0.27, 0.01)), reverse = MeasureLength(back, Pixel(0.27, 0.01));
    EXPECT_NEAR(forth->reading.value.millimetres(), reverse->reading.value.millimetres(), 1e-9);
    EXPECT_NEAR(forth->reading.sd->millimetres(), reverse->reading.sd->millimetres(), 1e-9);
  }
}

TEST(MeasureLength, SpreadOfClicksAgreesWithMonteCarlo) {
  // First-order propagation against 40,000 draws of the clicks; the other parts are switched off by subtraction.
  const std::vector<PixelPoint> points = {{100, 100}, {130, 140}, {170, 150}, {220, 140}};
  const auto measured = MeasureLength(points, Pixel(0.27, 0.0));
  const double clicks = measured->reading.parts[0].sd.millimetres();
  std::mt19937_64 random(5);
  std::normal_distribution<double> click(0.0, 1.0);
  double sum = 0.0, squares = 0.0;
  constexpr int kDraws = 40'000;
  for (int i = 0; i < kDraws; ++i) {
    auto moved = points;
    for (auto& p : moved) p.x += click(random), p.y += click(random);
    const double mm = MeasureLength(moved, Pixel(0.27, 0.0))->reading.value.millimetres();
    sum += mm;
    squares += mm * mm;
  }
  const double sd = std::sqrt(squares / kDraws - (sum / kDraws) * (sum / kDraws));
  EXPECT_NEAR(clicks / sd, 1.0, 0.02);  // 3 standard errors of an sd from 40,000 draws are 1.1 %; curvature adds a little
}

TEST(MeasureLength, SpreadOfTheLeanAgreesWithMonteCarlo) {
  const std::vector<PixelPoint> points = {{0, 0}, {100, 0}};
  const double share = MeasureLength(points, Pixel(1.0, 0.0))->reading.parts[2].sd.millimetres() / 100.0;
  std::mt19937_64 random(6);
  std::normal_distribution<double> lean(0.0, 15.0 * std::acos(-1.0) / 180.0);
  double squares = 0.0;
  constexpr int kDraws = 200'000;
  for (int i = 0; i < kDraws; ++i) {
    const double excess = 1.0 / std::cos(lean(random)) - 1.0;
    squares += excess * excess;
  }
  EXPECT_NEAR(share / std::sqrt(squares / kDraws), 1.0, 0.25);  // second order only: the fourth order adds 10 to 25 %
  EXPECT_NEAR(share, 0.0594, 5e-4);                             // sqrt(3)/2 x (15 degrees)^2
}

TEST(MeasureLength, PartsAddUpToTheSpread) {
  const std::vector<PixelPoint> points = {{0, 0}, {70, 0}};
  const auto measured = MeasureLength(points, Pixel(0.27, 0.27 * 0.045));
  double squares = 0.0;
  for (const auto& part : measured->reading.parts) squares += part.sd.millimetres() * part.sd.millimetres();
  EXPECT_NEAR(measured->reading.sd->millimetres(), std::sqrt(squares), 1e-12);
  ASSERT_EQ(measured->warnings.size(), 1u);
  EXPECT_NE(measured->warnings[0].find("this or longer"), std::string::npos);
}

TEST(MeasureLength, SaysHowMuchALeanHides) {
  EXPECT_NEAR(1.0 / std::cos(30.0 * std::acos(-1.0) / 180.0), 1.15, 0.006);  // the figures in the warning
  EXPECT_NEAR(1.0 / std::cos(45.0 * std::acos(-1.0) / 180.0), 1.41, 0.006);
}

TEST(MeasureLength, RefusesWhatHasNoLength) {
  const std::vector<PixelPoint> one = {{1, 1}}, same = {{1, 1}, {1, 1}}, lost = {{1, 1}, {std::nan(""), 1}};
  EXPECT_FALSE(MeasureLength(one, Pixel(0.3, 0.0)).ok());
  EXPECT_FALSE(MeasureLength(same, Pixel(0.3, 0.0)).ok());
  EXPECT_FALSE(MeasureLength(lost, Pixel(0.3, 0.0)).ok());
  const std::vector<PixelPoint> good = {{1, 1}, {9, 9}};
  EXPECT_EQ(MeasureLength(good, Pixel(0.0, 0.0)).error().to_do, "calibrate on a catheter first");
}

}  // namespace
}  // namespace fairlead
