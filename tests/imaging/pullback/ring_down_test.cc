// SPDX-License-Identifier: Apache-2.0
// Ring-down read off made-up pictures whose parts are known: blood of one level that flickers, a wall that does not, and
// what is added near the catheter.
#include "imaging/pullback/ring_down.h"

#include <gtest/gtest.h>

#include <cmath>

namespace fairlead {
namespace {

constexpr int kDepth = 120, kEdge = 20, kFrames = 9;
constexpr double kStepMm = 0.025;

double Added(int sample) { return sample <= kEdge ? 0.0 : 50.0 * std::exp(-(sample - kEdge) / 5.0); }

// Blood up to a border that lies 4 to 20 samples from the catheter's wall, wall behind it.
Polar Picture(double added, bool blood) {
  Polar polar;
  polar.frames = kFrames, polar.depth = kDepth, polar.step_mm = kStepMm;
  for (int frame = 0; frame < kFrames; ++frame) {
    for (int ray = 0; ray < kAngles; ++ray) {
      const int border = blood ? kEdge + 12 + static_cast<int>(8.0 * std::cos(2.0 * M_PI * ray / kAngles)) : 0;
      for (int i = 0; i < kDepth; ++i) {
        const double flicker = i < border ? ((frame + ray + i) % 2 == 0 ? 8.0 : -8.0) : 0.0;
        const double grey = i < kEdge ? 0.0 : (i < border ? 80.0 : 140.0) + flicker + (i < border ? added * Added(i) : 0.0);
        polar.grey.push_back(static_cast<std::uint8_t>(grey + 0.5));
      }
    }
  }
  return polar;
}

TEST(RingDown, IsReadOffThePullbackWhereBloodLies) {
  const Polar polar = Picture(1.0, true);
  const RingDown ring = RingDownOf(polar, std::vector<bool>(kFrames), kEdge);
  for (const int i : {kEdge + 2, kEdge + 4, kEdge + 8, kEdge + 12}) EXPECT_NEAR(static_cast<double>(ring.mean[static_cast<std::size_t>(i)]), Added(i), 4.0) << i;
  EXPECT_EQ(ring.mean[kDepth - 1], 0.0f);
  EXPECT_NEAR(static_cast<double>(ring.rest_mean), 80.0, 6.0);
}

TEST(RingDown, NoneIsTakenOffWhereThereIsNone) {
  for (const bool blood : {true, false}) {
    const RingDown ring = RingDownOf(Picture(0.0, blood), std::vector<bool>(kFrames), kEdge);
    for (const float one : ring.mean) EXPECT_LT(one, 5.0f);
  }
}

TEST(RingDown, IsTakenOffBloodWhollyAndOffBrightTissueLess) {
  EXPECT_FLOAT_EQ(Unrung(110.0f, 30.0f, 80.0f), 80.0f);
  EXPECT_FLOAT_EQ(Unrung(140.0f, 0.0f, 80.0f), 140.0f);
  float before = -1e9f;
  for (float grey = 60.0f; grey < 255.0f; grey += 5.0f) {  // brighter stays brighter
    const float after = Unrung(grey, 30.0f, 80.0f);
    EXPECT_GT(after, before);
    EXPECT_LE(after, grey);
    before = after;
  }
}

TEST(RingDown, APictureWithNothingBeyondTheCatheterIsNoTrouble) {
  Polar polar;
  polar.frames = 1, polar.depth = 40, polar.step_mm = 0.05;
  polar.grey.assign(static_cast<std::size_t>(kAngles) * 40, 0);
  for (const int edge : {0, 20, 39}) {
    const RingDown ring = RingDownOf(polar, {false}, edge);
    for (const float one : ring.still) EXPECT_TRUE(std::isfinite(one));
  }
}

}  // namespace
}  // namespace fairlead
