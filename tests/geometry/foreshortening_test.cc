// SPDX-License-Identifier: Apache-2.0
// Expected numbers worked from the closed forms by two independent programs.
#include "geometry/foreshortening.h"

#include <gtest/gtest.h>

#include <vector>

#include "tests/geometry/worked_views.h"

namespace fairlead {
namespace {

constexpr Vec3 kFrom{20, -15, 10}, kTo{35, 5, 40};

TEST(Foreshortening, IsAsWorkedInFourViews) {
  EXPECT_NEAR(100 * ForeshorteningAlongBeam(TheView(-30, -20, 1050), kFrom, kTo), 48.971, 0.0006);
  EXPECT_NEAR(100 * Foreshortening(TheView(-30, -20, 1050), kFrom, kTo), 46.119, 0.0006);
  EXPECT_NEAR(100 * ForeshorteningAlongBeam(TheView(45, 25, 1100), kFrom, kTo), 2.988, 0.0006);
  EXPECT_NEAR(100 * Foreshortening(TheView(45, 25, 1100), kFrom, kTo), 3.647, 0.0006);
  EXPECT_NEAR(100 * ForeshorteningAlongBeam(TheView(0, 0, 1050), kFrom, kTo), 14.110, 0.0006);
  EXPECT_NEAR(100 * ForeshorteningAlongBeam(TheView(30, -30, 1050), kFrom, kTo), 20.143, 0.0006);
}

TEST(Foreshortening, AgreesWithTheImageLengthAtMidDepth) {
  const View view = TheView(-30, -20, 1050);
  const double px = Distance(*Project(view, kFrom), *Project(view, kTo));
  EXPECT_NEAR(px, 77.288555, 0.51e-6);
  EXPECT_NEAR((px * PixelSizeAtIsocentre(view)).millimetres(), 21.564887, 0.51e-6);
  EXPECT_NEAR((px * PixelSizeAt(view, DepthOf(view, 0.5 * (kFrom + kTo)))).millimetres(), 21.064516, 0.51e-6);
}

TEST(Foreshortening, VanishesOnItsCurveAndIsFoundThere) {
  const Vec3 along = Unit(kTo - kFrom);
  const double want[][2] = {{-30, 39.602664}, {0, 33.690068}, {30, 18.125873}, {45, 6.721369}};
  for (const auto& [primary, secondary] : want) {
    const Angle beta = SecondaryOfNoForeshortening(Angle::Degrees(primary), along);
    EXPECT_NEAR(beta.degrees(), secondary, 0.51e-6);
    EXPECT_LT(ForeshorteningAlongBeam(TheView(primary, beta.degrees(), 1050), kFrom, kTo), 1e-15);
  }
}

TEST(Foreshortening, OfACourseIsTheMeanOfItsPiecesByLength) {
  const View view = TheView(0, 0, 1000);
  // 10 mm across the beam and 30 mm along it, all near the axis: a quarter is seen.
  const std::vector<Vec3> course{{-10, 15, 0}, {0, 15, 0}, {0, -15, 0}};
  EXPECT_NEAR(Foreshortening(view, course), 0.75, 0.001);  // the first piece is seen 0.4 degrees off the axis
  EXPECT_EQ(Foreshortening(view, kFrom, kFrom), 0.0);
  EXPECT_EQ(Foreshortening(view, std::vector<Vec3>{}), 0.0);
}

}  // namespace
}  // namespace fairlead
