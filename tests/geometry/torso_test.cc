// SPDX-License-Identifier: Apache-2.0
// Expected values: closed forms of a line and an ellipse, worked by hand; the chord table was worked in another program.
#include "geometry/torso.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "geometry/gantry.h"

namespace fairlead {
namespace {

const EllipticCylinder kTrunk{165, 110, {-20, 20, 0}};

Ray Central(double primary, double secondary) {
  const Vec3 beam = BeamOf({Angle::Degrees(primary), Angle::Degrees(secondary)});
  return {-750.0 * beam, beam};
}

TEST(Torso, IsEnteredWhereTheHandCalculationSays) {
  const Ray straight = Central(0, 0);
  const auto pa = Cross(kTrunk, straight);
  ASSERT_TRUE(pa);
  // y = 20 + 110 sqrt(1 - (20/165)^2) = 129.189
  EXPECT_NEAR((straight.from + pa->enters * straight.direction).y, 129.189, 5e-4);
  EXPECT_NEAR(pa->enters, 620.811, 5e-4);
  const Ray lao = Central(40, 25);
  const auto oblique = Cross(kTrunk, lao);
  ASSERT_TRUE(oblique);
  const Vec3 entry = lao.from + oblique->enters * lao.direction;
  EXPECT_NEAR(entry.x, -98.091, 1e-3);
  EXPECT_NEAR(entry.y, 116.900, 1e-3);
  EXPECT_NEAR(entry.z, -71.160, 1e-3);
  EXPECT_NEAR(oblique->enters, 581.622, 1e-3);
  EXPECT_NEAR(oblique->leaves - oblique->enters, 276.5, 0.05);
}

TEST(Torso, HasTheChordsOfTheTable) {
  struct Row { double beta, alpha, chord; };
  for (const Row& row : {Row{0, -45, 254}, Row{0, 30, 237}, Row{20, 60, 306}, Row{-30, 45, 299}, Row{40, 90, 424}, Row{0, 90, 324}}) {
    const auto crossing = Cross(kTrunk, Central(row.alpha, row.beta));
    ASSERT_TRUE(crossing);
    EXPECT_NEAR(crossing->leaves - crossing->enters, row.chord, 0.51) << row.alpha << "/" << row.beta;
  }
}

TEST(Torso, PointsOfTheSkinLieOnItAndLookOutwards) {
  std::mt19937_64 random(3);
  std::uniform_real_distribution<double> round(-3.14, 3.14);
  for (int i = 0; i < 500; ++i) {
    const Angle angle = Angle::Radians(round(random));
    const SkinPlace place = OnSkin(kTrunk, angle, 40);
    const double x = (place.at.x + 20) / 165, y = (place.at.y - 20) / 110;
    EXPECT_NEAR(x * x + y * y, 1.0, 1e-12);
    EXPECT_NEAR(Norm(place.outwards), 1.0, 1e-12);
    EXPECT_GT(Dot(place.outwards, place.at - kTrunk.centre), 0.0);
    EXPECT_NEAR(RoundOf(kTrunk, place.at).radians(), angle.radians(), 1e-9);
  }
  EXPECT_NEAR(OnSkin(kTrunk, Angle(), 0).at.y, 130.0, 1e-12);  // the back
}

TEST(Torso, MissesWhatPassesBeside) {
  EXPECT_FALSE(Cross(kTrunk, {{-200, 700, 0}, {0, -1, 0}}));
  EXPECT_FALSE(Cross(kTrunk, {{0, 0, -700}, {0, 0, 1}}));  // along the body
}

TEST(Torso, ComesFromHeightAndWeight) {
  const auto torso = TorsoOf({170, 75}, Arms::kDown);
  ASSERT_TRUE(torso.ok());
  // R = sqrt(75000 / (pi 170 0.85)) cm = 128.5 mm
  EXPECT_NEAR(torso->trunk.half_width, 157, 0.5);
  EXPECT_NEAR(torso->trunk.half_depth, 105, 0.5);
  ASSERT_EQ(torso->arms.size(), 2U);
  EXPECT_GT(torso->arms[1].centre.x, torso->trunk.centre.x + torso->trunk.half_width);
  EXPECT_TRUE(TorsoOf({170, 75}, Arms::kUp)->arms.empty());
}

TEST(Torso, RefusesBodiesThatAreNone) {
  for (const BodySize size : {BodySize{1.7, 75}, BodySize{170, 0}, BodySize{170, std::nan("")}, BodySize{400, 80}}) EXPECT_FALSE(TorsoOf(size, Arms::kUp).ok());
}

}  // namespace
}  // namespace fairlead
