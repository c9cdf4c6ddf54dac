// SPDX-License-Identifier: Apache-2.0
#include "front/server/run_ladder.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

// The ratio 3.7: J Am Coll Cardiol 2007;50:584-590. 180 min and 5 Gy: common practice, no source.
TEST(TheLadderOfAPlan, HoldsTheLimitsOfTheRunToCome) {
  RunPatient patient;
  patient.egfr = 50.0;
  const Session session = LadderSessionOf(RunState{}, patient, RunLimits{}, PublishedPriors(), Instant{});
  ASSERT_TRUE(session.limits.limit[kContrastMl]);
  EXPECT_DOUBLE_EQ(*session.limits.limit[kContrastMl], 3.7 * 50.0);
  EXPECT_DOUBLE_EQ(*session.limits.limit[kMinutes], 180.0);
  EXPECT_DOUBLE_EQ(*session.limits.limit[kKermaMgy], 5000.0);
  for (const double used : session.limits.used) EXPECT_EQ(used, 0.0);
  EXPECT_TRUE(session.run.tried.empty());
}

TEST(TheLadderOfAPlan, FollowsTheLabsOwnLimitsAndReserve) {
  const auto limits = RunLimitsFromJson(R"({"contrast_ratio": 2.0, "minutes": 150, "reserve": {"contrast_ml": 40}})");
  ASSERT_TRUE(limits.ok());
  RunPatient patient;
  patient.egfr = 50.0;
  const Session session = LadderSessionOf(RunState{}, patient, *limits, PublishedPriors(), Instant{});
  EXPECT_DOUBLE_EQ(*session.limits.limit[kContrastMl], 100.0);
  EXPECT_DOUBLE_EQ(*session.limits.reserve[kContrastMl], 40.0);
  EXPECT_DOUBLE_EQ(*session.limits.limit[kMinutes], 150.0);
}

TEST(TheLadderOfAPlan, HoldsNoContrastLimitWhereKidneyFunctionIsNotKnown) {
  const Session session = LadderSessionOf(RunState{}, RunPatient{}, RunLimits{}, PublishedPriors(), Instant{});
  EXPECT_FALSE(session.limits.limit[kContrastMl]);
}

}  // namespace
}  // namespace fairlead
