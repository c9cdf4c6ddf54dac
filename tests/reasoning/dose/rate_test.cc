// SPDX-License-Identifier: Apache-2.0
// The body in the way of a view: an ellipse cut by a line, in closed form.
#include "reasoning/dose/rate.h"

#include <gtest/gtest.h>

#include <cmath>

namespace fairlead {
namespace {

GantryAngles At(double primary, double secondary) { return {Angle::Degrees(primary), Angle::Degrees(secondary)}; }

// Through the middle of an ellipse with half axes a and b, at the angle p from b's axis: 2 / sqrt((sin p / a)^2 + (cos p / b)^2).
TEST(Rate, ThePathThroughTheTrunkIsTheChordOfItsEllipse) {
  Body body = DefaultBody();
  body.torso.trunk.centre = {};  // the isocentre in the trunk's middle: the beam then crosses the middle of the ellipse
  const double a = body.torso.trunk.half_width, b = body.torso.trunk.half_depth;
  const auto chord = [&](double degrees) {
    const double p = degrees * std::acos(-1.0) / 180.0;
    return 2.0 / std::hypot(std::sin(p) / a, std::cos(p) / b);
  };
  for (const double primary : {-60.0, -30.0, 0.0, 15.0, 45.0, 90.0}) {
    EXPECT_NEAR(PathThrough(body, At(primary, 0)).inside, chord(primary), 1e-6) << primary;
    EXPECT_NEAR(PathThrough(body, At(primary, 0)).to_skin, 750.0 - chord(primary) / 2, 1e-6) << primary;
    EXPECT_NEAR(KermaRateAgainstFrontal(body, At(primary, 0)), std::exp2((chord(primary) - 2 * b) / 60.0), 1e-9) << primary;
  }
  // Tilted alone, the chord is that of the depth over the cosine.
  EXPECT_NEAR(PathThrough(body, At(0, 30)).inside, 2 * b / std::cos(std::acos(-1.0) / 6), 1e-6);
}

TEST(Rate, AFrontalViewIsOneAndASteeperViewNeverTakesLess) {
  const Body body = DefaultBody();
  EXPECT_NEAR(KermaRateAgainstFrontal(body, At(0, 0)), 1.0, 1e-12);
  double last = 1.0;
  for (double tilt = 0; tilt <= 45; tilt += 5) {
    const double here = KermaRateAgainstFrontal(body, At(0, tilt));
    EXPECT_GE(here, last - 1e-12);
    last = here;
  }
}

TEST(Rate, ABeamThatMissesTheTrunkHasNothingInItsWay) {
  Body body = DefaultBody();
  body.torso.trunk.centre.x = 2000.0;
  EXPECT_EQ(PathThrough(body, At(0, 0)).inside, 0.0);
  EXPECT_TRUE(std::isfinite(KermaRateAgainstFrontal(body, At(0, 0))));
}

}  // namespace
}  // namespace fairlead
