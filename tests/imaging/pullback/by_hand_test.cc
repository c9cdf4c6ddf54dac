// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/by_hand.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace fairlead {
namespace {

constexpr Length kPixel = Length::Millimetres(0.02);

// School geometry: 3, 4, 5; a rectangle; a right angle.
TEST(ByHand, MeasuresKnownShapes) {
  const auto distance = MeasureByHand(HandKind::kDistance, {{0, 0}, {150, 200}}, kPixel, kPixel);
  EXPECT_NEAR(distance->value, 5.0, 1e-9);
  const auto area = MeasureByHand(HandKind::kArea, {{10, 10}, {110, 10}, {110, 60}, {10, 60}}, kPixel, kPixel);
  EXPECT_NEAR(area->value, 2.0, 1e-9);
  const auto angle = MeasureByHand(HandKind::kAngle, {{100, 0}, {0, 0}, {0, 70}}, kPixel, kPixel);
  EXPECT_NEAR(angle->value, 90.0, 1e-9);
  EXPECT_NEAR(MeasureByHand(HandKind::kAngle, {{-5, 0}, {0, 0}, {9, 0}}, kPixel, kPixel)->value, 180.0, 1e-9);
}

TEST(ByHand, TakesPixelsThatAreNotSquare) {
  EXPECT_NEAR(MeasureByHand(HandKind::kDistance, {{0, 0}, {0, 100}}, kPixel, Length::Millimetres(0.03))->value, 3.0, 1e-9);
}

// To first order by hand: a distance's ends err by a pixel each along it, 0.02 sqrt 2 mm; 4 % of 5 mm is 0.2 mm.
TEST(ByHand, SaysWhatItsSpreadIsMadeOf) {
  const auto distance = MeasureByHand(HandKind::kDistance, {{0, 0}, {150, 200}}, kPixel, kPixel);
  EXPECT_NEAR(distance->click_sd, 0.02 * std::numbers::sqrt2, 1e-6);
  EXPECT_NEAR(distance->size_sd, 0.2, 1e-9);
  EXPECT_NEAR(distance->sd, std::hypot(0.2, 0.02 * std::numbers::sqrt2), 1e-6);
  // An angle does not change with the size of a pixel.
  const auto angle = MeasureByHand(HandKind::kAngle, {{100, 0}, {0, 0}, {0, 100}}, kPixel, kPixel);
  EXPECT_EQ(angle->size_sd, 0.0);
  EXPECT_GT(angle->click_sd, 0.5);
  EXPECT_LT(angle->click_sd, 2.0);
}

TEST(ByHand, TurningTheShapeChangesNothing) {
  const std::vector<ImagePoint> shape = {{40, 0}, {10, 35}, {-30, 20}, {-25, -30}, {20, -28}};
  const double first = MeasureByHand(HandKind::kArea, shape, kPixel, kPixel)->value;
  for (int k = 1; k < 12; ++k) {
    std::vector<ImagePoint> turned;
    for (const ImagePoint& p : shape) turned.push_back({p.column * std::cos(0.5 * k) - p.row * std::sin(0.5 * k), p.column * std::sin(0.5 * k) + p.row * std::cos(0.5 * k)});
    EXPECT_NEAR(MeasureByHand(HandKind::kArea, turned, kPixel, kPixel)->value, first, 1e-9);
  }
}

TEST(ByHand, RefusesWhatCannotBeMeasured) {
  EXPECT_EQ(MeasureByHand(HandKind::kDistance, {{0, 0}}, kPixel, kPixel).error().what, "this many points do not make a distance");
  EXPECT_EQ(MeasureByHand(HandKind::kArea, {{0, 0}, {1, 1}}, kPixel, kPixel).error().what, "this many points do not make an area");
  EXPECT_FALSE(MeasureByHand(HandKind::kAngle, {{0, 0}, {1, 1}, {2, 2}, {3, 3}}, kPixel, kPixel).ok());
  EXPECT_EQ(MeasureByHand(HandKind::kAngle, {{0, 0}, {0, 0}, {1, 1}}, kPixel, kPixel).error().what, "two of the three points are one");
  EXPECT_EQ(MeasureByHand(HandKind::kDistance, {{0, 0}, {1, 1}}, Length{}, kPixel).error().what, "how large a pixel is is not known");
  EXPECT_FALSE(MeasureByHand(HandKind::kDistance, {{0, 0}, {std::nan(""), 1}}, kPixel, kPixel).ok());
}

}  // namespace
}  // namespace fairlead
