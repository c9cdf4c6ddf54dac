// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/run_session.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <thread>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "reasoning/strategy/outlook_text.h"
#include "reasoning/strategy/panel.h"

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

At<RunEvent> Rated(const char* decision, const char* strategy, const char* channel, double at) {
  RunEvent event{Verb::kDecide, RunSide::kNone, {{RunField::kDecision, 0, decision}, {RunField::kStrategy, 0, strategy}}, ""};
  if (*channel != 0) event.values.push_back({RunField::kChannel, 0, channel});
  return {event, Minute(at), "E"};
}

TEST(SoFarOf, AWayIsClosedUntilItIsOpenedOrTakenUpAgain) {
  RunState run;
  run.attempts = {Made(Strategy::kAntegradeWiring, 0, std::nullopt, "cap", 0)};
  run.rated_ways = {Rated("closed", "ADR", "", 5), Rated("closed", "RW", "c1", 6), Rated("closed", "RDR", "c2", 7)};
  const auto closed = [&] { return SoFarOf(run, PublishedPriors(), Minute(20)).closed; };
  EXPECT_EQ(closed(), (std::vector<std::string>{"ADR", "RW/RDR c1", "RW/RDR c2"}));
  run.rated_ways.push_back(Rated("open", "RW", "c2", 8));
  EXPECT_EQ(closed(), (std::vector<std::string>{"ADR", "RW/RDR c1"}));
  run.rated_ways.push_back(Rated("closed", "RW", "", 9));  // every channel
  EXPECT_EQ(closed(), (std::vector<std::string>{"ADR", "RW/RDR"}));
  run.attempts.push_back(Made(Strategy::kAntegradeDissection, 12, std::nullopt, "entry", 12));
  EXPECT_EQ(closed(), (std::vector<std::string>{"RW/RDR"}));
}

TEST(SoFarOf, TheWayThatIsWorkedOnMayBeRatedClosedAndWhatItShowedCounts) {
  RunState run;
  run.attempts = {Made(Strategy::kAntegradeWiring, 0, std::nullopt, "cap", 0)};
  run.rated_ways = {Rated("closed", "AW", "", 15)};
  const RunSoFar so_far = SoFarOf(run, PublishedPriors(), Minute(20));
  EXPECT_FALSE(so_far.attempt);
  ASSERT_EQ(so_far.tried.size(), 1U);
  EXPECT_TRUE(so_far.tried[0].closed);
  EXPECT_DOUBLE_EQ(so_far.tried[0].minutes, 20);
}

TEST(BuildLadder, EachChannelThatIsRatherUsableIsAWayAndNoneIsLeftOutInSilence) {
  const auto ladder = BuildLadder(CaseOf(R"({"length_angio_mm": 25, "egfr": 70, "channels": {"c1": {"interventional": true}, "c2": {"interventional": true},
    "c3": {"interventional": true}, "c4": {"interventional": true}, "c5": {"interventional": true}, "c6": {"interventional": true}, "c7": {"interventional": true}, "c8": {"interventional": false}}})"));
  ASSERT_TRUE(ladder.ok());
  EXPECT_EQ(ladder->strategies.size(), 8u);
  const auto said = [&](const char* text) { return std::ranges::find(ladder->left_out, text) != ladder->left_out.end(); };
  EXPECT_TRUE(said("RW/RDR c7: more than 6 channels"));
  EXPECT_TRUE(said("RW/RDR c8: rated as not usable"));
}

TEST(BuildLadder, AChannelThatWasWorkedInStaysWhateverWasThoughtOfIt) {
  LadderInput input = CaseOf(R"({"length_angio_mm": 25, "egfr": 70, "channels": {"c1": {"interventional": true}, "c2": {"interventional": false}}})");
  EXPECT_EQ(BuildLadder(input)->strategies.size(), 3u);
  input.session.run.attempt = Attempt{"RW c2", "", 0.0, 10.0};
  const auto ladder = BuildLadder(input);
  ASSERT_TRUE(ladder.ok());
  ASSERT_TRUE(ladder->current.has_value());
  EXPECT_EQ(ladder->strategies[*ladder->current].id, "RW/RDR c2");
}

TEST(AnswerLadder, GivesUpAtOnceWhenNobodyWaits) {
  LadderInput input = CaseOf(R"({"length_angio_mm": 25, "egfr": 70, "channels": {"c1": {"interventional": true}, "c2": {"interventional": true},
    "c3": {"interventional": true}, "c4": {"interventional": true}, "c5": {"interventional": true}, "c6": {"interventional": true}}})");
  std::stop_source gone;
  EXPECT_TRUE(AnswerLadder(input, {.draws = 2}, gone.get_token()).ok());
  // Sixty draws with a solution each take a second or more; whoever left after the first tenth of it is not worked for.
  std::jthread leaves([&gone] { std::this_thread::sleep_for(std::chrono::milliseconds(100)); gone.request_stop(); });
  const auto began = std::chrono::steady_clock::now();
  const auto answer = AnswerLadder(input, {.draws = 200, .doubts = 5000}, gone.get_token());
  EXPECT_FALSE(answer.ok());
  EXPECT_LT(std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count(), 2.0);  // 5,000 solutions would take minutes
}

TEST(BuildLadder, EveryChannelIsClosedWithTheRetrogradeWay) {
  LadderInput input = CaseOf(R"({"length_angio_mm": 25, "egfr": 70, "channels": {"c1": {"interventional": true}, "c2": {"interventional": true}}})");
  input.session.run.closed = {"RW/RDR c1"};
  auto ladder = BuildLadder(input);
  ASSERT_TRUE(ladder.ok());
  const auto has = [&](std::string_view id) { return std::ranges::any_of(ladder->strategies, [&](const LadderStrategy& each) { return each.id == id; }); };
  EXPECT_FALSE(has("RW/RDR c1"));
  EXPECT_TRUE(has("RW/RDR c2"));
  input.session.run.closed = {"RW/RDR"};
  ladder = BuildLadder(input);
  ASSERT_TRUE(ladder.ok());
  EXPECT_FALSE(has("RW/RDR c1") || has("RW/RDR c2"));
  EXPECT_EQ(ladder->left_out.size(), 2U);
}

// As on the board: in dialysis, or below 15, a ratio says nothing (practice, no source).
TEST(BuildLadder, HoldsNoLimitOfContrastInDialysis) {
  for (const char* facts : {R"({"length_angio_mm": 25, "egfr": 70, "dialysis": true})", R"({"length_angio_mm": 25, "egfr": 14.9})"}) {
    const auto ladder = BuildLadder(CaseOf(facts));
    ASSERT_TRUE(ladder.ok());
    EXPECT_FALSE(ladder->whole[kContrastMl]) << facts;
    EXPECT_FALSE(ladder->model.budget[kContrastMl]) << facts;
    EXPECT_TRUE(std::ranges::any_of(ladder->assumptions, [](const std::string& each) { return each.starts_with("dialysis or kidney function below 15"); })) << facts;
  }
  const auto held = BuildLadder(CaseOf(R"({"length_angio_mm": 25, "egfr": 15})"));
  ASSERT_TRUE(held.ok());
  EXPECT_NEAR(*held->whole[kContrastMl], 3.7 * 15, 1e-9);
  LadderInput lab = CaseOf(R"({"length_angio_mm": 25, "egfr": 70, "dialysis": true})");
  lab.session.limits.limit[kContrastMl] = 300;  // named by the session, it holds
  EXPECT_NEAR(*BuildLadder(lab)->whole[kContrastMl], 300, 1e-9);
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
