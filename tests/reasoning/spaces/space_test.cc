// SPDX-License-Identifier: Apache-2.0
#include "reasoning/spaces/space.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace fairlead {
namespace {

TEST(Space, BelowOddsOfEightInTenIsUnknown) {
  EXPECT_EQ(SpaceText({0.0, 0.79, 0.21}), "unknown");
  EXPECT_EQ(SpaceText({0.0, 0.8, 0.2}), "in plaque");
  EXPECT_EQ(SpaceText({0.1, 0.1, 0.8}), "outside plaque");
  EXPECT_EQ(SpaceText({}), "unknown");
}

TEST(Space, LumenAndPlaqueAreBothInside) {
  EXPECT_EQ(SpaceText({0.4, 0.5, 0.1}), "inside, true lumen or plaque");
  EXPECT_EQ(SpaceText({0.9, 0.0, 0.0}), "in the true lumen");
  EXPECT_EQ(SideOf({0.4, 0.4, 0.2}), Side::kInside);
}

TEST(Space, ReadsWordsAndChances) {
  EXPECT_TRUE(ParseSpace("plaque")->by_reader);
  EXPECT_DOUBLE_EQ(ParseSpace("plaque")->plaque, 1.0);
  EXPECT_FALSE(ParseSpace("plaque=0.9")->by_reader);
  EXPECT_DOUBLE_EQ(ParseSpace("lumen=0.3,plaque=0.6")->plaque, 0.6);
  EXPECT_EQ(SideOf(*ParseSpace("unknown")), Side::kUnknown);
}

TEST(Space, RefusesWhatItCannotRead) {
  EXPECT_EQ(ParseSpace("inside").error().what, "there is no such space");
  EXPECT_FALSE(ParseSpace("").ok());
  EXPECT_FALSE(ParseSpace("plaque=").ok());
  EXPECT_FALSE(ParseSpace("plaque=nan").ok());
  EXPECT_FALSE(ParseSpace("plaque=0.7,").ok());
  EXPECT_EQ(ParseSpace("plaque=0.7,outside=0.4").error().what, "the chances of one wire's spaces add up to more than 1");
}

TEST(Space, TheReadersMarkWins) {
  const SpaceOdds measured{0.0, 0.95, 0.05};
  EXPECT_EQ(SideOf(WithReader(measured, *ParseSpace("outside"))), Side::kOutside);
  EXPECT_EQ(SideOf(WithReader(measured, {})), Side::kInside);
}

// The whole table of three catheters, three answers and three answers; practice, concept of J Am Coll Cardiol Cardiovasc
// Interv 2010;3:155-164 from memory.
TEST(FarWire, FollowsTheTruthTable) {
  const auto far_wire = [](Side catheter, Sign same, Sign ring) { return FarWireFrom(catheter, same, ring); };
  EXPECT_EQ(far_wire(Side::kInside, Sign::kYes, Sign::kYes).side, Side::kInside);
  EXPECT_EQ(far_wire(Side::kInside, Sign::kNo, Sign::kNo).side, Side::kOutside);
  EXPECT_EQ(far_wire(Side::kOutside, Sign::kYes, Sign::kNo).side, Side::kOutside);
  EXPECT_EQ(far_wire(Side::kOutside, Sign::kNo, Sign::kYes).side, Side::kInside);
  EXPECT_TRUE(far_wire(Side::kInside, Sign::kYes, Sign::kNo).contradiction);
  EXPECT_TRUE(far_wire(Side::kInside, Sign::kNo, Sign::kYes).contradiction);
  EXPECT_TRUE(far_wire(Side::kOutside, Sign::kYes, Sign::kYes).contradiction);
  EXPECT_TRUE(far_wire(Side::kOutside, Sign::kNo, Sign::kNo).contradiction);
  for (const Side catheter : {Side::kInside, Side::kOutside, Side::kUnknown}) {
    for (const Sign same : {Sign::kYes, Sign::kNo, Sign::kUnknown}) {
      for (const Sign ring : {Sign::kYes, Sign::kNo, Sign::kUnknown}) {
        const FarWire found = far_wire(catheter, same, ring);
        const bool known = catheter != Side::kUnknown && same != Sign::kUnknown && ring != Sign::kUnknown;
        EXPECT_EQ(found.side != Side::kUnknown || found.contradiction, known);
      }
    }
  }
}

TEST(FarWire, ReadsItsSigns) {
  EXPECT_EQ(*ParseSign("yes"), Sign::kYes);
  EXPECT_EQ(ParseSign("maybe").error().what, "the answer is none of yes, no and unknown");
}

}  // namespace
}  // namespace fairlead
