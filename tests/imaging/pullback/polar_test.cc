// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/polar.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace fairlead {
namespace {

// A bright disc of a radius in millimetres on a picture whose pixels need not be square.
struct Disc {
  std::vector<std::uint8_t> bytes;
  PictureStack stack;
};
Disc DiscOf(double radius_mm, double row_mm, double column_mm, int samples) {
  Disc disc;
  disc.stack.rows = disc.stack.columns = 200, disc.stack.frames = 1, disc.stack.samples = samples;
  disc.stack.row_spacing = Length::Millimetres(row_mm), disc.stack.column_spacing = Length::Millimetres(column_mm);
  disc.stack.centre_x = 90.0, disc.stack.centre_y = 105.0;
  for (int y = 0; y < 200; ++y) {
    for (int x = 0; x < 200; ++x) {
      const double r = std::hypot((x - 90.0) * column_mm, (y - 105.0) * row_mm);
      for (int s = 0; s < samples; ++s) disc.bytes.push_back(r < radius_mm ? 200 : 20);
    }
  }
  disc.stack.bytes = disc.bytes;
  return disc;
}

TEST(Polar, ADiscHasOneRadiusWhateverThePixelsShape) {
  for (const int samples : {1, 3}) {
    const Disc disc = DiscOf(1.5, 0.03, 0.025, samples);
    const auto polar = ToPolar(disc.stack, {});
    ASSERT_TRUE(polar.ok());
    for (int ray = 0; ray < kAngles; ++ray) {
      const auto grey = polar->Ray(0, ray);
      double edge = 0.0;
      for (std::size_t i = 0; i < grey.size(); ++i) {
        if (grey[i] > 110) edge = (static_cast<double>(i) + 0.5) * polar->step_mm;
      }
      EXPECT_NEAR(edge, 1.5, 0.045) << ray;  // a pixel and a half
    }
  }
}

TEST(Polar, RefusesWhatIsNotCalibrated) {
  Disc disc = DiscOf(1.5, 0.03, 0.025, 1);
  disc.stack.row_spacing = Length();
  EXPECT_EQ(ToPolar(disc.stack, {}).error().what, "how large a pixel is is not known");
}

TEST(Polar, RefusesBrokenStacks) {
  Disc disc = DiscOf(1.5, 0.03, 0.025, 1);
  disc.stack.frames = 2;
  EXPECT_EQ(ToPolar(disc.stack, {}).error().what, "the frames are cut off");
  disc.stack.frames = 0;
  EXPECT_FALSE(ToPolar(disc.stack, {}).ok());
  disc.stack.frames = 1, disc.stack.centre_x = -5.0;
  EXPECT_EQ(ToPolar(disc.stack, {}).error().what, "the catheter's centre lies outside the picture");
}

}  // namespace
}  // namespace fairlead
