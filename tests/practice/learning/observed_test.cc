// SPDX-License-Identifier: Apache-2.0
// Attempts of invented journals, typed as lines of the log.
#include "practice/learning/observed.h"

#include <gtest/gtest.h>

#include "casebook/fact_json.h"
#include "tests/casebook/run/typed.h"

namespace fairlead {
namespace {

std::vector<Entry> WithDifficulty(std::vector<Entry> entries) {
  const auto facts = ParseFacts(R"({"stump_angio": "blunt", "calcification_angio": "moderate", "bend_angio_deg": 20, "length_angio_mm": 12, "previous_failed_attempts": 0})");
  EXPECT_TRUE(facts.ok());
  for (const auto& [key, belief] : *facts) {
    Entry entry;
    entry.at = entry.recorded = Clock("08:00");
    entry.seq = static_cast<std::int64_t>(entries.size()) + 1;
    entry.id = "F" + std::to_string(entry.seq);
    entry.kind = "fact";
    FactStated fact;
    fact.key = key;
    fact.belief = belief;
    entry.data = std::move(fact);
    entries.push_back(std::move(entry));
  }
  return entries;
}

TEST(AttemptsOf, ReadsEachEndAsWhatItSays) {
  const Observed found = AttemptsOf("c", Fold(WithDifficulty(Typed({"10:00 start AW", "10:20 switch ADR outside-plaque", "10:30 break begin", "10:40 break over", "11:10 switch RW limit c1", "11:40 distal proven views"}))));
  ASSERT_EQ(found.attempts.size(), 3u);
  EXPECT_EQ(found.attempts[0].strategy, "AW");
  EXPECT_EQ(found.attempts[0].ending, Ending::kStopped);
  EXPECT_FALSE(found.attempts[0].planned);
  EXPECT_DOUBLE_EQ(found.attempts[0].minutes, 20.0);
  EXPECT_DOUBLE_EQ(found.attempts[1].minutes, 40.0);  // the break is not time at risk
  EXPECT_TRUE(found.attempts[1].planned);
  EXPECT_EQ(found.attempts[2].strategy, "RW/RDR");
  EXPECT_EQ(found.attempts[2].ending, Ending::kCrossed);
  EXPECT_EQ(found.attempts[2].position, 3);
  EXPECT_EQ(found.attempts[0].difficulty, 2u);  // blunt and calcified: J-CTO 2
}

// Of each step: whether the way went on from there, before another step was tried and before it was left.
TEST(AttemptsOf, CountsWhatCameOfEachStep) {
  const Observed found = AttemptsOf("c", Fold(WithDifficulty(Typed({"09:58 decide try cap-hard anchor", "10:00 start AW", "10:05 decide try cap-hard extension", "10:10 decide try cap-hard stiffer", "10:14 phase body",
                                                                     "10:20 decide try outside-plaque parallel", "10:30 switch ADR outside-plaque", "10:40 decide try haematoma draw-blood", "10:50 distal proven views",
                                                                     "11:00 start RW c1", "11:05 decide try channel-wire tip-injection"}))));
  ASSERT_EQ(found.steps.size(), 4u);
  const auto is = [&](std::size_t i, const char* strategy, const char* reason, const char* step, bool worked) {
    return found.steps[i].strategy == strategy && found.steps[i].reason == reason && found.steps[i].step == step && found.steps[i].worked == worked;
  };
  EXPECT_TRUE(is(0, "AW", "cap-hard", "extension", false));  // another step followed it
  EXPECT_TRUE(is(1, "AW", "cap-hard", "stiffer", true));
  EXPECT_TRUE(is(2, "AW", "outside-plaque", "parallel", false));
  EXPECT_TRUE(is(3, "ADR", "haematoma", "draw-blood", true));
  EXPECT_EQ(found.steps_open, 2);  // before any attempt, and of one that still runs
  ASSERT_EQ(found.attempts.size(), 2u);
  EXPECT_DOUBLE_EQ(found.attempts[0].minutes, 30.0);  // a step ends nothing
}

TEST(AttemptsOf, TakesAComplicationForACompetingEnd) {
  const Observed found = AttemptsOf("c", Fold(WithDifficulty(Typed({"10:00 start AW", "10:20 stopped complication"}))));
  ASSERT_EQ(found.attempts.size(), 1u);
  EXPECT_EQ(found.attempts[0].ending, Ending::kComplication);
}

TEST(AttemptsOf, CountsARetrogradeAttemptOnceWhereWiringTurnsToDissection) {
  const Observed found = AttemptsOf("c", Fold(WithDifficulty(Typed({"10:00 start RW c1", "10:30 switch RDR not-joined c1", "10:50 distal proven views"}))));
  ASSERT_EQ(found.attempts.size(), 1u);
  EXPECT_DOUBLE_EQ(found.attempts[0].minutes, 50.0);
  EXPECT_EQ(found.attempts[0].ending, Ending::kCrossed);
}

TEST(AttemptsOf, LeavesOutWhatHasNoEndOrNoDifficulty) {
  const Observed open = AttemptsOf("c", Fold(WithDifficulty(Typed({"10:00 start AW"}))));
  EXPECT_TRUE(open.attempts.empty());
  EXPECT_EQ(open.open, 1);
  const Observed unknown = AttemptsOf("c", Fold(Typed({"10:00 start AW", "10:20 stopped limit"})));
  EXPECT_TRUE(unknown.attempts.empty());
  EXPECT_EQ(unknown.no_difficulty, 1);
}

// What the board had said is kept as `shown`; a stop is placed against it.
TEST(AttemptsOf, PlacesAStopAgainstWhatWasShown) {
  for (const auto& [stop, expected] : {std::pair{"10:10 stopped cap-hard", ShownThen::kBefore}, {"10:20 stopped cap-hard", ShownThen::kWithin}, {"10:55 stopped cap-hard", ShownThen::kAfter}}) {
    std::vector<Entry> entries = Typed({"10:00 start AW", stop});
    Entry said;
    said.at = said.recorded = Clock("10:00");
    said.seq = 3;
    said.id = "S";
    said.kind = "shown";
    said.data = Shown{.at_step = "start", .text = "attempt AW cap, 0 min in this phase\nwhich way: leaving AW makes no odds from 15 to 40 min from now\n"};
    entries.push_back(said);
    const Observed found = AttemptsOf("c", Fold(WithDifficulty(std::move(entries))));
    ASSERT_EQ(found.attempts.size(), 1u);
    EXPECT_EQ(found.attempts[0].shown, expected) << stop;
  }
}

TEST(AttemptsOf, ReadsTheCasesFromBeforeTheJournal) {
  CaseRow row;
  row.id = "old";
  row.j_cto = 4;
  row.tries = {{"AW", 22, false}, {"RW", 35, false}, {"RDR", 10, true}};
  CaseRow unknown = row;
  unknown.j_cto.reset();
  const Observed found = AttemptsOf(std::vector{row, unknown});
  ASSERT_EQ(found.attempts.size(), 2u);
  EXPECT_EQ(found.attempts[0].difficulty, 3u);
  EXPECT_EQ(found.attempts[1].strategy, "RW/RDR");
  EXPECT_DOUBLE_EQ(found.attempts[1].minutes, 45.0);
  EXPECT_FALSE(found.attempts[1].harm_told);  // nobody wrote in which attempt a complication was
  EXPECT_EQ(found.no_difficulty, 2);
}

}  // namespace
}  // namespace fairlead
