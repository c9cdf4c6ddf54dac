// SPDX-License-Identifier: Apache-2.0
// Typed totals and views: every expected share is worked out by hand from the lines.
#include "reasoning/exposure/console.h"

#include <gtest/gtest.h>

#include "tests/casebook/run/typed.h"

namespace fairlead {
namespace {

std::vector<ConsoleShare> SharesOf(const std::vector<std::string>& lines) { return ConsoleByView(RunOf(Fold(Typed(lines)))); }

double Of(const std::vector<ConsoleShare>& shares, const char* view) {
  double sum = 0.0;
  const auto wanted = ParseGantry(view);  // an empty text: what lies somewhere
  for (const ConsoleShare& share : shares) {
    if (share.angles.has_value() == wanted.ok() && (!share.angles || *share.angles == *wanted)) sum += share.kerma_gy;
  }
  return sum;
}

TEST(Console, WhatATotalRisesByBelongsToTheViewThatStood) {
  const auto shares = SharesOf({"09:00 view LAO45 CRA25", "09:00 ak 0.10Gy", "09:20 ak 0.50Gy", "09:20 view RAO30", "09:40 ak 0.70Gy"});
  EXPECT_NEAR(Of(shares, "LAO45/CRA25"), 0.50, 1e-9);
  EXPECT_NEAR(Of(shares, "RAO30"), 0.20, 1e-9);
  EXPECT_NEAR(Of(shares, ""), 0.0, 1e-9);
}

TEST(Console, ARiseOverSeveralViewsIsSharedByTimeAndSaysSo) {
  // 0.40 Gy over 40 minutes: 10 of them in the first view, 30 in the second.
  const auto shares = SharesOf({"09:00 view LAO45 CRA25", "09:00 ak 0.10Gy", "09:10 view RAO30", "09:40 ak 0.50Gy"});
  EXPECT_NEAR(Of(shares, "LAO45/CRA25"), 0.10 + 0.10, 1e-9);
  EXPECT_NEAR(Of(shares, "RAO30"), 0.30, 1e-9);
  for (const ConsoleShare& share : shares) EXPECT_TRUE(share.by_time);
}

// The same 0.40 Gy where the first view takes three times the rate: 10 min x 3 against 30 min x 1, half each.
TEST(Console, ASharedRiseFollowsTheRateOfEachViewWhereThatIsKnown) {
  const RunState run = RunOf(Fold(Typed({"09:00 view LAO45 CRA25", "09:00 ak 0.10Gy", "09:10 view RAO30", "09:40 ak 0.50Gy"})));
  ConsoleSharing sharing;
  sharing.rate = [](const GantryAngles& angles) { return angles.primary.degrees() > 0 ? 3.0 : 1.0; };
  EXPECT_NEAR(Of(ConsoleByView(run, sharing), "LAO45/CRA25"), 0.10 + 0.20, 1e-9);
  EXPECT_NEAR(Of(ConsoleByView(run, sharing), "RAO30"), 0.20, 1e-9);
  sharing.all_to = *ParseGantry("RAO30");  // the extreme: all of what may lie in it
  EXPECT_NEAR(Of(ConsoleByView(run, sharing), "RAO30"), 0.40, 1e-9);
  EXPECT_NEAR(Of(ConsoleByView(run, sharing), "LAO45/CRA25"), 0.10, 1e-9);
}

TEST(Console, AViewTakenUpAgainGathersBothTimes) {
  const auto shares = SharesOf({"09:00 view LAO45", "09:10 ak 0.2Gy", "09:10 view RAO30", "09:20 ak 0.3Gy", "09:20 view LAO45", "09:30 ak 0.7Gy"});
  EXPECT_NEAR(Of(shares, "LAO45"), 0.6, 1e-9);
  EXPECT_EQ(shares.size(), 2u);
}

TEST(Console, WithoutAViewItLiesSomewhere) {
  const auto shares = SharesOf({"09:10 ak 0.2Gy", "09:20 ak 0.3Gy"});
  ASSERT_EQ(shares.size(), 1u);
  EXPECT_FALSE(shares[0].angles);
  EXPECT_NEAR(shares[0].kerma_gy, 0.3, 1e-9);
  EXPECT_TRUE(SharesOf({"09:00 view LAO45"}).empty());
}

TEST(Console, TheSharesAreTheLastTotalTogetherWhateverWasTyped) {
  for (const std::vector<std::string>& lines : {std::vector<std::string>{"09:00 view LAO45", "09:10 ak 0.9Gy", "09:20 ak 0.6Gy", "09:30 ak 0.8Gy"},
                                                {"09:00 ak 0.3Gy", "09:00 view RAO20", "09:05 ak 0.1Gy new", "09:30 ak 0.4Gy"}}) {
    const RunState run = RunOf(Fold(Typed(lines)));
    double sum = 0.0;
    for (const ConsoleShare& share : ConsoleByView(run)) {
      EXPECT_GE(share.kerma_gy, 0.0);
      sum += share.kerma_gy;
    }
    EXPECT_NEAR(sum, run.air_kerma.sums.back().value, 1e-9);
  }
}

TEST(Console, EventsCarryTheViewAndGiveTheKermaTogether) {
  const auto events = EventsOfConsole(SharesOf({"09:00 view LAO45 CRA25", "09:10 ak 0.3Gy", "09:10 view RAO30", "09:20 ak 0.4Gy"}), 0.2);
  ASSERT_EQ(events.size(), 2u);
  EXPECT_EQ(events[0].id, "console, " + GantryText(*events[0].angles));
  EXPECT_NEAR(events[0].kerma->gray(), 0.15, 1e-9);
  EXPECT_NEAR(events[1].kerma->gray(), 0.05, 1e-9);
}

}  // namespace
}  // namespace fairlead
