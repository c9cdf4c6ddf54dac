// SPDX-License-Identifier: Apache-2.0
// When a trace asks for one more click, on pictures drawn by tests/imaging/trace/drawn.h.
#include "imaging/trace/next_click.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "imaging/trace/trace.h"
#include "imaging/trace/turning_path.h"
#include "tests/imaging/trace/drawn.h"

namespace fairlead {
namespace {

Picture Moved(const Picture& picture, int down) {
  Picture moved = picture;
  for (int row = 0; row < picture.rows; ++row) {
    const int from = std::clamp(row - down, 0, picture.rows - 1);
    std::copy_n(picture.values.begin() + from * picture.columns, picture.columns, moved.values.begin() + row * picture.columns);
  }
  return moved;
}

// Two bows that meet 60 pixels on either side of the middle, 34 pixels apart between; `second` is the lower one's darkness.
Picture Lens(double second) {
  constexpr int kSag = 17;
  const Picture upper = Moved(Drawn({.radius = 3.0, .angle_deg = 0.0, .darkness = 8.0, .bow = 30.0, .noise = 0.5}), -kSag);
  const Picture lower = Moved(Drawn({.radius = 3.0, .angle_deg = 0.0, .darkness = second, .bow = -30.0}), kSag);
  Picture sum = upper;
  for (std::size_t i = 0; i < sum.values.size(); ++i) sum.values[i] = std::max(upper.values[i], lower.values[i]);
  return sum;
}

VesselTrace Traced(const Picture& picture, std::vector<PixelPoint> through) {
  TraceRequest request;
  request.through = std::move(through);
  auto trace = TraceVessel(picture, VesselnessOf(picture), request);
  EXPECT_TRUE(trace.ok());
  return trace.ok() ? *trace : VesselTrace{};
}

const PixelPoint kLeftEnd{18.5, 79.5}, kRightEnd{140.5, 79.5};

TEST(NextClick, IsAskedForWhereTwoRoutesCostAlike) {
  const VesselTrace trace = Traced(Lens(8.0), {kLeftEnd, kRightEnd});
  ASSERT_TRUE(trace.ask);
  EXPECT_TRUE(trace.ask->two_routes);
  EXPECT_LT(trace.ask->dearer, 1.3);
  // The mark is on one bow, the second route runs along the other: farthest apart in the middle.
  EXPECT_NEAR(std::abs(trace.ask->at.y - 79.5), 17.0, 3.0);
  const auto middle = std::min_element(trace.ask->second.begin(), trace.ask->second.end(), [](PixelPoint a, PixelPoint b) { return std::abs(a.x - 79.5) < std::abs(b.x - 79.5); });
  ASSERT_NE(middle, trace.ask->second.end());
  EXPECT_NEAR(middle->y - 79.5, 79.5 - trace.ask->at.y, 5.0);
  EXPECT_NE(AskSentence(*trace.ask, std::nullopt).find("Two routes"), std::string::npos);
}

TEST(NextClick, OnceGivenDecidesTheRouteAndIsNotAskedForAgain) {
  for (const double side : {-17.0, 17.0}) {
    const VesselTrace trace = Traced(Lens(8.0), {kLeftEnd, {79.5, 79.5 + side}, kRightEnd});
    EXPECT_FALSE(trace.ask && trace.ask->two_routes) << side;
    const auto middle = std::min_element(trace.points.begin(), trace.points.end(), [](const TracedPoint& a, const TracedPoint& b) { return std::abs(a.centre.x - 79.5) < std::abs(b.centre.x - 79.5); });
    EXPECT_NEAR(middle->centre.y, 79.5 + side, 1.0);
  }
}

TEST(NextClick, IsNotAskedForWhereTheOtherRouteIsFaintOrThereIsNone) {
  EXPECT_FALSE(Traced(Lens(0.7), {kLeftEnd, kRightEnd}).ask);
  const Tube alone{.radius = 4.0, .angle_deg = 15.0, .bow = 20.0, .noise = 2.0};
  EXPECT_FALSE(Traced(Drawn(alone), {AxisAt(alone, -60.0), AxisAt(alone, 60.0)}).ask);
}

TEST(NextClick, IsAskedForInTheMiddleOfTheLongestDoubtAwayFromClicks) {
  std::vector<PixelPoint> centre;
  for (int i = 0; i < 120; ++i) centre.push_back({static_cast<double>(i), 0.0});
  std::vector<bool> doubted(centre.size(), false);
  std::fill(doubted.begin() + 30, doubted.begin() + 70, true);
  doubted[50] = false;  // a place between does not end it
  const std::vector<PixelPoint> ends{centre.front(), centre.back()};
  const auto ask = DoubtedStretch(doubted, centre, ends);
  ASSERT_TRUE(ask);
  EXPECT_NEAR(ask->at.x, 49.5, 1.0);
  EXPECT_NEAR(ask->doubted_px, 39.0, 1.0);
  EXPECT_NE(AskSentence(*ask, 0.2).find("8 mm"), std::string::npos);
  const std::vector<PixelPoint> clicked{centre.front(), {50.0, 1.0}, centre.back()};
  EXPECT_FALSE(DoubtedStretch(doubted, centre, clicked));  // what is left of it lies too near the click
  EXPECT_FALSE(DoubtedStretch(std::vector<bool>(centre.size(), false), centre, ends));
  EXPECT_FALSE(DoubtedStretch({}, {}, {}));
}

TEST(NextClick, IsAskedForWhereTheCourseTurnsAtARightAngle) {
  std::vector<Pixel> path;
  for (int i = 0; i <= 60; ++i) path.push_back({i, 10});
  for (int i = 11; i <= 70; ++i) path.push_back({60, i});
  const std::vector<Pixel> stops{path.front(), path.back()};
  const auto ask = SharpCorner(path, stops);
  ASSERT_TRUE(ask);
  EXPECT_NEAR(std::hypot(ask->at.x - 60.0, ask->at.y - 10.0), 0.0, 2.0);
  std::vector<Pixel> straight(path.begin(), path.begin() + 61);
  EXPECT_FALSE(SharpCorner(straight, std::vector<Pixel>{straight.front(), straight.back()}));
}

}  // namespace
}  // namespace fairlead
