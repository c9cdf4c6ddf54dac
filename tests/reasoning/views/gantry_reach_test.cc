// SPDX-License-Identifier: Apache-2.0
// The default reach is practice, no source.
#include "reasoning/views/gantry_reach.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

GantryAngles At(double primary, double secondary) { return {Angle::Degrees(primary), Angle::Degrees(secondary)}; }

TEST(GantryReach, ForbidsWhatTheUsualCarmCannotDo) {
  const GantryReach usual;
  EXPECT_EQ(ReachOf(usual, At(0, 45)), Reach::kFree);
  EXPECT_EQ(ReachOf(usual, At(0, 46)), Reach::kOut);
  EXPECT_EQ(ReachOf(usual, At(-111, 0)), Reach::kOut);
  EXPECT_EQ(ReachOf(usual, At(90, 26)), Reach::kOut);
  EXPECT_EQ(ReachOf(usual, At(90, 24)), Reach::kFree);
  EXPECT_EQ(ReachOf(usual, At(60, -36)), Reach::kCheck);
}

TEST(GantryReach, TakesTheLabsOwnRecord) {
  const auto lab = GantryFromJson(R"({"primary_deg": [-60, 60], "secondary_deg": [-30, 40], "operator": "left",
    "forbidden": [{"primary_deg": [30, 60], "secondary_deg": [-30, -20], "why": "ceiling shield"}]})");
  ASSERT_TRUE(lab.ok());
  EXPECT_EQ(ReachOf(*lab, At(40, -25)), Reach::kOut);
  EXPECT_EQ(WhyNot(*lab, At(40, -25)), "ceiling shield");
  EXPECT_EQ(ReachOf(*lab, At(29, -25)), Reach::kFree);
  EXPECT_EQ(ReachOf(*lab, At(61, 0)), Reach::kOut);
  EXPECT_EQ(lab->operator_side, "left");
}

TEST(GantryReach, RefusesARecordThatIsNone) {
  for (const char* json : {"", "3", "{\"primary_deg\": [5]}", "{\"primary_deg\": [60, -60]}", "{\"forbidden\": 3}", "{\"forbidden\": [3]}"}) {
    EXPECT_FALSE(GantryFromJson(json).ok()) << json;
  }
}

}  // namespace
}  // namespace fairlead
