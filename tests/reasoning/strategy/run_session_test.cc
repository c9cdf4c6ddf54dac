// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/run_session.h"

#include <gtest/gtest.h>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "reasoning/strategy/outlook_text.h"

namespace fairlead {
namespace {

constexpr Instant kStart{1'700'000'000'000};
Instant Minute(double minutes) { return kStart + Duration::Minutes(minutes); }

// An invented run: attempts as (strategy, from, to or none, phase and when it began).
RunAttempt Made(Strategy strategy, double from, std::optional<double> to, std::string phase, double phase_from, std::string reason = "") {
  RunAttempt attempt;
  attempt.strategy = strategy;
  attempt.start = Minute(from);
  attempt.last_progress = Minute(phase_from);
  if (to) attempt.end = Minute(*to), attempt.ended = AttemptEnd::kSwitched;
  attempt.reason = std::move(reason);
  attempt.phases.push_back({std::move(phase), Minute(phase_from), attempt.end});
  return attempt;
}

LadderInput CaseOf(const char* facts) {
  LadderInput input;
  input.facts = WithDerived(*ParseFacts(facts));
  return input;
}
LadderInput Case() {
  return CaseOf(R"({"proximal_cap_ambiguous": false, "stump_angio": "blunt", "calcification_angio": "moderate", "bend_angio_deg": 20,
    "length_angio_mm": 25, "previous_failed_attempts": 0, "interventional_collateral": true, "egfr": 70})");
}
LadderInput EasyCase() {
  return CaseOf(R"({"proximal_cap_ambiguous": false, "stump_angio": "tapered", "calcification_angio": "none", "bend_angio_deg": 20,
    "length_angio_mm": 12, "previous_failed_attempts": 0, "interventional_collateral": true, "egfr": 70})");
}

TEST(SoFarOf, CountsWorkOfEachAttemptAndThePhaseItReached) {
  RunState run;
  run.attempts = {Made(Strategy::kAntegradeWiring, 0, 25, "body", 15), Made(Strategy::kAntegradeDissection, 25, std::nullopt, "reentry", 40)};
  const RunSoFar so_far = SoFarOf(run, PublishedPriors(), Minute(52));
  ASSERT_EQ(so_far.tried.size(), 1U);
  EXPECT_EQ(so_far.tried[0].strategy, "AW");
  EXPECT_DOUBLE_EQ(so_far.tried[0].minutes, 25);
  EXPECT_EQ(so_far.tried[0].phase, "body");
  EXPECT_DOUBLE_EQ(so_far.tried[0].phase_min, 10);
  EXPECT_FALSE(so_far.tried[0].closed);
  ASSERT_TRUE(so_far.attempt);
  EXPECT_EQ(so_far.attempt->strategy, "ADR");
  EXPECT_EQ(so_far.attempt->phase, "re-entry");
  EXPECT_DOUBLE_EQ(so_far.attempt->phase_min, 12);
  EXPECT_DOUBLE_EQ(so_far.attempt->attempt_min, 27);
}

TEST(SoFarOf, LeavesBreaksOut) {
  RunState run;
  run.attempts = {Made(Strategy::kAntegradeWiring, 0, std::nullopt, "cap", 0)};
  run.breaks = {{Minute(5), Minute(9)}};
  run.pause = Minute(20);
  EXPECT_DOUBLE_EQ(SoFarOf(run, PublishedPriors(), Minute(30)).attempt->attempt_min, 16);
}

TEST(SoFarOf, KeepsTheMilestonesOfAChannelWhenWiringTurnsToDissection) {
  RunState run;
  run.attempts = {Made(Strategy::kRetrogradeWiring, 0, 50, "farcap", 40), Made(Strategy::kRetrogradeDissection, 50, std::nullopt, "channel", 50)};
  const RunSoFar so_far = SoFarOf(run, PublishedPriors(), Minute(55));
  EXPECT_EQ(so_far.attempt->phase, "far-cap");
  EXPECT_DOUBLE_EQ(so_far.attempt->phase_min, 5);
}

TEST(SoFarOf, LeavesOutWhatThePriorsDoNotHave) {
  RunState run;
  run.attempts = {Made(Strategy::kAntegradeWiring, 0, std::nullopt, "nowhere", 0)};
  Priors priors = PublishedPriors();
  EXPECT_EQ(SoFarOf(run, priors, Minute(3)).attempt->phase, "");
  priors.strategies.clear();
  EXPECT_FALSE(SoFarOf(run, priors, Minute(3)).attempt);
}

TEST(AnswerLadder, FollowsARunFromAttemptToAttempt) {
  RunState run;
  run.attempts = {Made(Strategy::kAntegradeWiring, 0, 30, "cap", 0, "kit-or-skill"), Made(Strategy::kRetrogradeWiring, 30, std::nullopt, "channel", 30)};
  run.attempts.back().channel = "c7";  // of which no fact is known
  LadderInput input = Case();
  input.session.run = SoFarOf(run, input.priors, Minute(42));
  const auto answer = AnswerLadder(input, {.draws = 20});
  ASSERT_TRUE(answer.ok()) << answer.error().what;
  ASSERT_TRUE(answer->ladder.current);
  EXPECT_EQ(answer->ladder.strategies[*answer->ladder.current].id, "RW/RDR");
  for (const LadderStrategy& way : answer->ladder.strategies) EXPECT_NE(way.id, "AW");  // closed: no kit
  ASSERT_TRUE(answer->outlook.patience);
}

// While nothing but "not crossed yet" is learnt, the best policy is a timetable: what was planned then, less what has
// passed, is what is best now, and so are the minutes that make no odds. A phase that goes on is more than that: it says
// that its milestone was not reached. The grid and the rounding of budgets allow a minute.
TEST(AnswerLadder, KeepsTheTimetableWhileNothingElseIsLearnt) {
  LadderInput input = EasyCase();
  const PriorStrategy& prior = input.priors.strategies[0];
  const auto after = [&](double passed) {
    input.session.run.attempt = Attempt{"AW", "", 0.0, passed};
    input.session.limits.used = {passed, passed * prior.contrast_ml_per_min.value, passed * prior.kerma_mgy_per_min.value};
    const auto answer = AnswerLadder(input, {.draws = 2});
    EXPECT_TRUE(answer.ok());
    return answer->outlook;
  };
  const Outlook at_start = after(0);
  const auto flat = FlatOf(at_start.losses);
  ASSERT_TRUE(flat);
  ASSERT_GT(flat->to, 9);
  ASSERT_EQ(at_start.solution.plan.front().strategy, 0U);
  for (const double passed : {4.0, 9.0}) {
    const Outlook later = after(passed);
    ASSERT_EQ(later.solution.plan.size(), at_start.solution.plan.size());
    EXPECT_EQ(later.solution.plan.front().strategy, at_start.solution.plan.front().strategy);
    EXPECT_NEAR(later.solution.plan.front().minutes, at_start.solution.plan.front().minutes - passed, 1.0);
    EXPECT_NEAR(later.solution.plan.back().minutes, at_start.solution.plan.back().minutes, 1.0);
    EXPECT_LE(FlatOf(later.losses)->to, flat->to);
  }
}

TEST(AnswerLadder, SaysTheLimitsFirstThenTheFlatMinutesThenTheTwoWaysOn) {
  RunState run;
  run.attempts = {Made(Strategy::kAntegradeWiring, 0, std::nullopt, "cap", 0)};
  LadderInput input = Case();
  input.session.run = SoFarOf(run, input.priors, Minute(12));
  const auto answer = AnswerLadder(input, {.draws = 20});
  ASSERT_TRUE(answer.ok());
  const auto lines = SaidLines(*answer);
  ASSERT_GE(lines.size(), 5U);
  EXPECT_NE(lines[0].find("no longer fits"), std::string::npos) << lines[0];
  const auto place = [&](std::string_view words) {
    for (std::size_t i = 0; i < lines.size(); ++i)
      if (lines[i].find(words) != std::string::npos) return i;
    return lines.size();
  };
  EXPECT_LT(place("makes no odds"), place("change now"));
  EXPECT_LT(place("change now"), place("ten more minutes, then change ["));
  EXPECT_LT(place("ten more minutes, then change ["), lines.size());
}

}  // namespace
}  // namespace fairlead
