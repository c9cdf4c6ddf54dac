// SPDX-License-Identifier: Apache-2.0
// The published scores as yardsticks: the group of a row is that of the engine of scores on the same facts, and each rate is
// held against the event that it is the rate of.
#include "practice/audit/published.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "practice/audit/audit.h"
#include "practice/audit/invented.h"
#include "reasoning/score/score.h"

namespace fairlead {
namespace {

const Instant kLast = ParseIso("2026-11-20T09:00:00Z").value();

// The same row as facts that are certain.
Facts FactsOf(const CaseRow& row) {
  Facts facts;
  for (const auto& [name, value] : row.facts) {
    if (const bool* flag = std::get_if<bool>(&value)) facts[{name, ""}] = FlagOdds{*flag ? 1.0 : 0.0};
    else if (const double* number = std::get_if<double>(&value)) facts[{name, ""}] = Number{*number, std::nullopt};
    else facts[{name, ""}] = GradeOdds{{{std::get<std::string>(value), 1.0}}};
  }
  facts[{"occluded_vessel", ""}] = GradeOdds{{{row.vessel, 1.0}}};
  if (const auto category = StrategyCategoryOf(row); !category.empty()) facts[{"strategy_category", ""}] = GradeOdds{{{std::string(category), 1.0}}};
  return facts;
}

TEST(Yardsticks, AreTheScoresWithRatesThatWereReadAndThatARowCanAnswer) {
  std::string scores;
  for (const Yardstick& each : Yardsticks()) {
    scores += std::string(each.score->id) + ' ';
    EXPECT_NE(each.table->checked, Checked::kMemory);
    EXPECT_LT(each.slot, kMostYardstickScores);
    EXPECT_EQ(each.table->rates.size(), each.score->groups.size());
  }
  for (const char* wanted : {"j-cto", "w-cto", "castle", "b-cto", "complications-2016", "mace-2022"}) EXPECT_NE(scores.find(wanted), std::string::npos) << scores;
}

// A property: with gaps in the facts too, the group is known exactly where the engine knows it, and is the same one.
TEST(Yardsticks, GiveEachRowTheGroupThatTheEngineOfScoresGives) {
  auto rows = InventPastCases({.seed = 21, .cases = 400, .drift_from = 400, .last = kLast});
  std::size_t gap = 0, known = 0;
  for (CaseRow& row : rows) {
    for (auto it = row.facts.begin(); it != row.facts.end();) it = ++gap % 17 == 0 ? row.facts.erase(it) : std::next(it);
    for (const Yardstick& each : Yardsticks()) {
      if (each.score->id == "j-cto") continue;  // of which the row has the total itself
      const ScoreResult truth = Evaluate(*each.score, FactsOf(row));
      const std::int8_t group = GroupOfRow(*each.score, row);
      if (!truth.applies) {
        EXPECT_EQ(group, kGroupNot) << each.score->id;
      } else if (group >= 0) {
        ASSERT_EQ(truth.reachable_groups.size(), 1U) << each.score->id << ' ' << row.id;
        EXPECT_EQ(truth.reachable_groups.front(), each.score->groups[static_cast<std::size_t>(group)].name);
        ++known;
      } else {
        EXPECT_FALSE(truth.missing.empty()) << each.score->id << ' ' << row.id;
      }
    }
  }
  EXPECT_GT(known, 1000U);
}

CaseRow Row(int number, int j_cto, std::vector<Try> tries) {
  CaseRow row;
  row.id = "row-" + std::to_string(number), row.began = kLast, row.j_cto = j_cto, row.tries = std::move(tries);
  return row;
}

const YardstickFound& Of(const Audit& audit, std::string_view score) {
  const auto found = std::find_if(audit.by_score.begin(), audit.by_score.end(), [&](const YardstickFound& each) { return each.yardstick->score->id == score; });
  EXPECT_NE(found, audit.by_score.end());
  return *found;
}

TEST(Yardsticks, CountAWireOnlyIfItWasAcrossWithinThirtyMinutesFromInFront) {
  const std::vector<CaseRow> rows = {Row(1, 0, {{"AW", 30, true}}),                        // across
                                     Row(2, 1, {{"AW", 12, false}, {"AW", 19, true}}),     // after 31 minutes
                                     Row(3, 2, {{"AW", 5, false}, {"RW", 10, true}}),      // by another way
                                     Row(4, 3, {{"ADR", 20, false}}), Row(5, 3, {})};      // never; nobody said
  const Audit audit = RunAudit(rows, {});
  const YardstickFound& found = Of(audit, "j-cto");
  ASSERT_TRUE(found.against);
  EXPECT_EQ(found.judged, 4U);
  EXPECT_EQ(found.no_outcome, 1U);
  EXPECT_EQ(found.against->observed, 3);
  double expected = 4;  // one minus the published shares of groups 0 to 3
  for (const Rate& rate : found.yardstick->table->rates) expected -= rate.low;
  EXPECT_NEAR(found.against->expected, expected, 1e-12);
}

TEST(Yardsticks, GiveBothEndsWhereOnlyBoundsArePublished) {
  const auto rows = InventPastCases({.seed = 22, .cases = 300, .drift_from = 300, .last = kLast});
  const Audit audit = RunAudit(rows, {});
  const YardstickFound& castle = Of(audit, "castle");
  ASSERT_TRUE(castle.against && castle.against_high);
  EXPECT_LT(castle.against->expected, castle.against_high->expected);
  EXPECT_GT(castle.against->ratio, castle.against_high->ratio);
  EXPECT_EQ(castle.judged + castle.facts_missing + castle.not_made_for + castle.no_outcome, rows.size());
}

// Nobody is judged better for facts that nobody wrote down: they are left out and counted.
TEST(Yardsticks, LeaveCasesWithoutTheFactsOut) {
  auto rows = InventPastCases({.seed = 23, .cases = 100, .drift_from = 100, .last = kLast});
  for (std::size_t i = 0; i < 40; ++i) rows[i].facts.erase("age_years"), rows[i].facts.erase("sex");
  const Audit audit = RunAudit(rows, {});
  const YardstickFound& mace = Of(audit, "mace-2022");
  EXPECT_GE(mace.facts_missing, 1U);
  EXPECT_LE(mace.judged, 100U);
}

TEST(Slice, OfFirstAttemptsHoldsOnlyCasesOfWhichThatIsKnown) {
  std::vector<CaseRow> rows = {Row(1, 1, {}), Row(2, 1, {}), Row(3, 1, {}), Row(4, 1, {})};
  rows[0].facts["previous_failed_attempts"] = 0.0, rows[1].facts["previous_failed_attempts"] = 1.0;
  rows[3].facts["previous_failed_attempts"] = 0.0, rows[3].id = "row-4/2";  // a second visit is no first attempt
  EXPECT_EQ(RunAudit(rows, {.first_attempts = true}).cases, 1U);
}

TEST(Procedural, SuccessNeedsBothKnownButOneBadWordSettlesIt) {
  std::vector<CaseRow> rows;
  const std::optional<bool> yes = true, no = false, nobody;
  for (const auto& [success, complication] : {std::pair(yes, no), std::pair(yes, yes), std::pair(no, nobody), std::pair(nobody, yes), std::pair(yes, nobody), std::pair(nobody, no)}) {
    rows.push_back(Row(static_cast<int>(rows.size()), 1, {}));
    rows.back().success = success, rows.back().complication = complication;
  }
  const Audit audit = RunAudit(rows, {});
  ASSERT_TRUE(audit.procedural);
  EXPECT_EQ(audit.procedural->count.events, 1);
  EXPECT_EQ(audit.procedural->count.cases, 4);
}

}  // namespace
}  // namespace fairlead
