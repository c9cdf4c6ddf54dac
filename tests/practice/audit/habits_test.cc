// SPDX-License-Identifier: Apache-2.0
// Counted by hand on rows that were written for it.
#include <gtest/gtest.h>

#include "practice/audit/audit.h"
#include "practice/audit/invented.h"

namespace fairlead {
namespace {

std::vector<CaseRow> FourRows() {
  std::vector<CaseRow> rows(4);
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i].id = "c" + std::to_string(i), rows[i].began = Instant{static_cast<std::int64_t>(i)};
  rows[0].tries = {{"AW", 20, false, "cap-hard", 8.0}, {"RW", 30, true}};
  rows[1].tries = {{"AW", 24, false, "cap-hard", 12.0}, {"RW", 40, false, "channel-wire", {}}, {"ADR", 10, true}};
  rows[2].tries = {{"AW", 16, false, "cap-hard", {}}, {"ADR", 30, false}};
  rows[3].tries = {{"AW", 5, true}};
  rows[0].kit = {{"wire", 3}, {"snare", 0}};
  rows[1].kit = {{"wire", 7}, {"snare", 1}};
  return rows;
}

TEST(Habits, SayHowLongAWayWasKeptAndHowLongItStoodStill) {
  const Audit audit = RunAudit(FourRows(), {});
  ASSERT_EQ(audit.left_ways.size(), 3U);
  EXPECT_EQ(audit.left_ways[0].strategy, "ADR");
  EXPECT_EQ(audit.left_ways[0].attempts, 1U);
  EXPECT_EQ(audit.left_ways[0].stalled_min.cases, 0U);  // nobody could tell
  const LeftWay& aw = audit.left_ways[1];
  EXPECT_EQ(aw.strategy, "AW");
  EXPECT_EQ(aw.attempts, 3U);  // the one that crossed was not left
  EXPECT_DOUBLE_EQ(aw.minutes.middle, 20);
  EXPECT_EQ(aw.stalled_min.cases, 2U);
  EXPECT_DOUBLE_EQ(aw.stalled_min.middle, 10);
}

TEST(Habits, SayWhatHelpedAfterAReason) {
  const Audit audit = RunAudit(FourRows(), {});
  const auto of = [&](const std::string& reason, const std::string& next) {
    for (const Remedy& each : audit.remedies) {
      if (each.reason == reason && each.next == next) return each.crossed.count;
    }
    return Count{-1, -1};
  };
  EXPECT_EQ(of("cap-hard", "RW").cases, 2);
  EXPECT_EQ(of("cap-hard", "RW").events, 1);
  EXPECT_EQ(of("cap-hard", "ADR").cases, 1);
  EXPECT_EQ(of("cap-hard", "ADR").events, 0);
  EXPECT_EQ(of("channel-wire", "ADR").events, 1);
  EXPECT_EQ(audit.left_for_good, 1U);
}

TEST(Habits, SayHowOftenTheWayTriedNextWasTheLaddersNext) {
  CaseRow row;
  row.id = "a";
  row.tries = {{"AW", 10, false, "", {}, "ADR"}, {"ADR", 10, false, "", {}, "RW/RDR"}, {"RDR", 10, false, "", {}, "stop"}, {"RW", 5, false}, {"AW", 5, true}};
  const Audit audit = RunAudit(std::span(&row, 1), {});
  ASSERT_TRUE(audit.ladder.followed);
  EXPECT_EQ(audit.ladder.followed->count.events, 2);
  EXPECT_EQ(audit.ladder.followed->count.cases, 3);
  EXPECT_EQ(audit.ladder.not_shown, 1U);
}

TEST(Habits, CountKitOnlyWhereSomebodyCounted) {
  const Audit audit = RunAudit(FourRows(), {});
  ASSERT_EQ(audit.kit.size(), 2U);  // the other kinds were counted in no case
  EXPECT_EQ(audit.kit[0].kind, "wire");
  EXPECT_EQ(audit.kit[0].count.cases, 2U);
  EXPECT_DOUBLE_EQ(audit.kit[0].count.middle, 5);
  EXPECT_EQ(audit.kit[1].kind, "snare");
  EXPECT_EQ(audit.kit[1].used.count.events, 1);
  EXPECT_EQ(audit.kit[1].used.count.cases, 2);
}

// A property on invented practices: every attempt that did not cross is followed by one or was the last.
TEST(Habits, EveryAttemptThatDidNotCrossIsCountedOnce) {
  const auto rows = InventPastCases({.seed = 9, .cases = 300});
  const Audit audit = RunAudit(rows, {});
  std::size_t made = 0, left = 0, followed = 0;
  for (const CaseRow& row : rows) {
    for (const Try& each : row.tries) made += each.crossed ? 0 : 1;
  }
  for (const LeftWay& each : audit.left_ways) left += each.attempts;
  for (const Remedy& each : audit.remedies) followed += static_cast<std::size_t>(each.crossed.count.cases);
  EXPECT_GT(made, 50U);
  EXPECT_EQ(left, made);
  EXPECT_EQ(followed + audit.left_for_good, made);
}

TEST(Habits, RowsWithThemComeBackAsTheyWentAndAreRefusedOutOfRange) {
  const auto rows = FourRows();
  const auto read = ParseCaseRows(CaseRowsJson(rows));
  ASSERT_TRUE(read.ok()) << Sentence(read.error());
  EXPECT_EQ(CaseRowsJson(*read), CaseRowsJson(rows));
  for (const char* bad : {R"("kit": {"wire": -1})", R"("kit": {"laser": 1})", R"("kit": [1])", R"("tries": [{"strategy": "AW", "minutes": 3, "stalled_min": -2}])"}) {
    EXPECT_FALSE(ParseCaseRows(R"({"cases": [{"case": "a", "began": "2026-01-01T08:00:00Z", )" + std::string(bad) + "}]}").ok()) << bad;
  }
}

}  // namespace
}  // namespace fairlead
