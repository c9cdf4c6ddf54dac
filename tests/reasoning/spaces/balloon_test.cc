// SPDX-License-Identifier: Apache-2.0
// Expected sizes are the rule worked by hand on a vessel of 3.1 x 3.6 mm and its neighbours; practice, no source.
#include "reasoning/spaces/balloon.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fairlead {
namespace {

Length Mm(double v) { return Length::Millimetres(v); }

VesselSize Vessel(double least, double most, std::optional<double> arc = 0.0) {
  VesselSize vessel;
  vessel.eem_min.value = Mm(least);
  vessel.eem_max.value = Mm(most);
  if (arc) vessel.calcium_arc = Angle::Degrees(*arc);
  return vessel;
}

double First(WireCase which, const VesselSize& vessel) {
  const BalloonSizes sizes = SizesFor(which, vessel);
  return sizes.sizes.empty() ? 0.0 : sizes.sizes.front().largest.millimetres();
}

bool Says(const std::vector<std::string>& sentences, std::string_view part) {
  for (const std::string& one : sentences) {
    if (one.find(part) != std::string::npos) return true;
  }
  return false;
}

constexpr WireCase kCases[] = {WireCase::kBothInPlaque, WireCase::kBothOutside, WireCase::kNearInFarOut, WireCase::kNearOutFarIn};

TEST(Balloon, MediaBetweenTheWiresTakesTheSmallestDiameterRoundedDown) {
  EXPECT_DOUBLE_EQ(First(WireCase::kNearInFarOut, Vessel(3.1, 3.6)), 3.0);
  EXPECT_DOUBLE_EQ(First(WireCase::kNearOutFarIn, Vessel(3.1, 3.6)), 3.0);
}

TEST(Balloon, HeavyCalciumTakesHalfAMillimetreOff) {
  EXPECT_DOUBLE_EQ(First(WireCase::kNearInFarOut, Vessel(3.1, 3.6, 200.0)), 2.5);
  EXPECT_DOUBLE_EQ(First(WireCase::kNearInFarOut, Vessel(3.1, 3.6, 180.0)), 3.0);  // the rule says above 180
}

TEST(Balloon, BothOutsideBeginsAtThreeQuartersOfTheMeanAndGoesToTheMeanCapped) {
  const BalloonSizes sizes = SizesFor(WireCase::kBothOutside, Vessel(3.1, 3.6));
  ASSERT_EQ(sizes.sizes.size(), 2U);
  EXPECT_DOUBLE_EQ(sizes.sizes[0].largest.millimetres(), 2.5);
  EXPECT_DOUBLE_EQ(sizes.sizes[1].largest.millimetres(), 3.0);  // 3.25 is above the smallest diameter
}

TEST(Balloon, BothInPlaqueTakesASmallBalloon) {
  EXPECT_DOUBLE_EQ(First(WireCase::kBothInPlaque, Vessel(2.0, 2.2)), 1.5);
  EXPECT_DOUBLE_EQ(First(WireCase::kBothInPlaque, Vessel(3.1, 3.6)), 1.75);
  EXPECT_DOUBLE_EQ(First(WireCase::kBothInPlaque, Vessel(4.6, 4.9)), 2.0);
}

TEST(Balloon, StopsAtFourMillimetresAndWarns) {
  const BalloonSizes sizes = SizesFor(WireCase::kNearInFarOut, Vessel(4.6, 4.9));
  EXPECT_DOUBLE_EQ(sizes.sizes.front().largest.millimetres(), 4.0);
  EXPECT_TRUE(Says(sizes.cautions, "stops at 4.00 mm"));
}

TEST(Balloon, WarnsWhereItsSmallestSizeIsAboveWhatItWorkedOut) {
  EXPECT_TRUE(Says(SizesFor(WireCase::kBothInPlaque, Vessel(2.0, 2.2)).cautions, "it allows 1.50 mm, which is larger"));
}

TEST(Balloon, AllowsNoneInAVesselSmallerThanItsSmallestSize) {
  for (const WireCase which : kCases) {
    const BalloonSizes sizes = SizesFor(which, Vessel(1.4, 1.6));
    EXPECT_TRUE(sizes.sizes.empty());
    EXPECT_TRUE(Says(sizes.cautions, "allows no balloon"));
  }
}

TEST(Balloon, GivesNoSizeForAPlaceThatIsNotUnderstood) {
  EXPECT_TRUE(SizesFor(WireCase::kUnknown, Vessel(3.1, 3.6)).sizes.empty());
  EXPECT_TRUE(SizesFor(WireCase::kNoSharedSection, Vessel(3.1, 3.6)).sizes.empty());
}

TEST(Balloon, SaysWhatAnUnknownCalciumArcWouldChange) {
  const BalloonSizes sizes = SizesFor(WireCase::kNearInFarOut, Vessel(3.1, 3.6, std::nullopt));
  EXPECT_DOUBLE_EQ(sizes.sizes.front().largest.millimetres(), 3.0);
  EXPECT_DOUBLE_EQ(sizes.sizes.front().smallest->millimetres(), 2.5);
  EXPECT_TRUE(Says(sizes.cautions, "was not given"));
}

TEST(Balloon, SaysWhatTheUncertaintyOfTheVesselWouldChange) {
  VesselSize vessel = Vessel(3.1, 3.6);
  vessel.eem_min.sd = vessel.eem_max.sd = Mm(0.1);
  EXPECT_TRUE(Says(SizesFor(WireCase::kNearInFarOut, vessel).cautions, "2.90 mm, the rule allows 2.75 mm"));
  vessel.eem_min.sd = vessel.eem_max.sd = Mm(0.01);
  EXPECT_FALSE(Says(SizesFor(WireCase::kNearInFarOut, vessel).cautions, "uncertain"));
}

// Property, over all vessels in steps of 0.05 mm and three arcs: no size is above the vessel's smallest diameter, outside
// 1.5 to 4 mm, off the quarter of a millimetre, or larger for a smaller vessel.
TEST(Balloon, NeverExceedsTheVesselAndGrowsWithIt) {
  for (const WireCase which : kCases) {
    for (const double arc : {0.0, 181.0, 360.0}) {
      double before = 0.0;
      for (int step = 30; step <= 160; ++step) {
        const double least = 0.05 * step;
        const BalloonSizes sizes = SizesFor(which, Vessel(least, std::min(8.0, least * 1.2), arc));
        for (const BalloonSize& size : sizes.sizes) {
          const double mm = size.largest.millimetres();
          SCOPED_TRACE(least);
          EXPECT_LE(mm, least + 1e-9);
          EXPECT_GE(mm, 1.5);
          EXPECT_LE(mm, 4.0);
          EXPECT_NEAR(mm / 0.25, std::round(mm / 0.25), 1e-9);
          if (size.smallest) { EXPECT_LE(*size.smallest, size.largest); }
        }
        EXPECT_GE(sizes.sizes.front().largest.millimetres(), before);
        before = sizes.sizes.front().largest.millimetres();
      }
    }
  }
}

TEST(Balloon, RefusesWhatIsNoVessel) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(CheckVessel(Vessel(3.6, 3.1)).error().what, "the smallest size from media to media is above the largest");
  EXPECT_EQ(CheckVessel(Vessel(nan, 3.1)).error().what, "a size from media to media is not within 0.5 to 8 mm");
  EXPECT_FALSE(CheckVessel(Vessel(0.3, 3.1)).ok());
  EXPECT_FALSE(CheckVessel(Vessel(3.1, 31.0)).ok());
  EXPECT_EQ(CheckVessel(Vessel(3.1, 3.6, 361.0)).error().what, "the calcium arc is not within 0 to 360 degrees");
  EXPECT_FALSE(CheckVessel(Vessel(3.1, 3.6, nan)).ok());
  EXPECT_TRUE(CheckVessel(Vessel(3.1, 3.6)).ok());
}

TEST(Balloon, AWholeStepStaysWhatItIs) {
  for (int quarter = 2; quarter < 40; ++quarter) {
    EXPECT_DOUBLE_EQ(FloorToStep(Mm(0.25 * quarter)).millimetres(), 0.25 * quarter);
    EXPECT_DOUBLE_EQ(FloorToStep(Mm(0.25 * quarter - 0.01)).millimetres(), 0.25 * (quarter - 1));
  }
}

}  // namespace
}  // namespace fairlead
