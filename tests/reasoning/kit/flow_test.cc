// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/flow.h"

#include <gtest/gtest.h>

#include <cmath>

namespace fairlead {
namespace {

Length Mm(double v) { return Length::Millimetres(v); }

double Left(const std::vector<double>& shafts, double lumen) {
  std::vector<Length> diameters;
  for (const double d : shafts) diameters.push_back(Mm(d));
  const auto places = Rest(diameters, Mm(lumen));
  EXPECT_TRUE(places);
  return places ? FlowBeside(*places, Mm(lumen)).share : -1;
}

// The annulus has a closed form (Lamb's Hydrodynamics, art. 331).
TEST(FlowLeft, AShaftInTheMiddleFollowsTheClosedForm) {
  for (const double k : {0.1, 0.2, 0.5, 0.7}) {
    const double share = FlowBeside({{Mm(0), Mm(0), Mm(2 * k)}}, Mm(2), 128).share;
    EXPECT_NEAR(share, FlowAroundCentred(Mm(k), Mm(1)), 0.01) << k;
  }
}

TEST(FlowLeft, AnEmptyLumenKeepsAll) { EXPECT_DOUBLE_EQ(FlowBeside({}, Mm(2)).share, 1.0); }

// An independent solution of the same equation on a grid of 400 with staircase walls (practice, no source): shafts
// resting on the wall and on each other.
TEST(FlowLeft, ShaftsAtTheWallLeaveMore) {
  EXPECT_NEAR(Left({0.3556}, 1.803), 0.807, 0.01);
  EXPECT_NEAR(Left({0.93}, 1.803), 0.270, 0.01);
  EXPECT_NEAR(Left({1.07}, 1.803), 0.172, 0.01);
  EXPECT_NEAR(Left({0.93}, 2.057), 0.366, 0.01);
  EXPECT_NEAR(Left({0.83, 0.83}, 2.057), 0.249, 0.04);
  EXPECT_NEAR(Left({1.06, 0.93}, 2.286), 0.181, 0.03);
  EXPECT_GT(Left({0.93}, 1.803), FlowAroundCentred(Mm(0.93), Mm(1.803)));
}

TEST(FlowLeft, AnotherShaftNeverHelps) {
  EXPECT_LT(Left({0.93, 0.3556}, 2.057), Left({0.93}, 2.057));
  EXPECT_LT(Left({0.93, 0.83}, 2.057), Left({0.93, 0.3556}, 2.057));
}

// Poiseuille by hand: 8 mPa s, 109 cm, 3 ml/s.
TEST(FlowLeft, PressureFollowsPoiseuille) {
  const double kilopascal[] = {226, 101, 60, 39};
  const double lumen[] = {1.473, 1.803, 2.057, 2.286};
  for (int i = 0; i < 4; ++i) EXPECT_NEAR(PressureKpa(Mm(lumen[i]), Length::Centimetres(109), 3), kilopascal[i], 0.6);
}

}  // namespace
}  // namespace fairlead
