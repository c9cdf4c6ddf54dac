// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/ladder.h"

#include <gtest/gtest.h>

#include <cmath>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "reasoning/strategy/clock.h"
#include "reasoning/strategy/improve.h"
#include "reasoning/strategy/outlook_json.h"
#include "tests/reasoning/strategy/case3.h"

namespace fairlead {
namespace {

constexpr const char* kFacts = R"({"proximal_cap_ambiguous": false, "distal_landing_zone_diseased": false, "stump_angio": "blunt",
  "calcification_angio": "moderate", "bend_angio_deg": 20, "length_angio_mm": {"value": 25, "sd": 2}, "previous_failed_attempts": 0,
  "interventional_collateral": true, "egfr": 70})";

LadderInput Input(const char* facts) {
  LadderInput input;
  const auto parsed = ParseFacts(facts);
  EXPECT_TRUE(parsed.ok());
  input.facts = WithDerived(*parsed);
  return input;
}

TEST(LawOfPhases, KeepsTheMedianAndTheQuartilesOfTheWhole) {
  for (const PriorStrategy& strategy : PublishedPriors().strategies) {
    const ClockLaw law = LawOfPhases(strategy.phases, strategy.log_sd.value).whole;
    EXPECT_NEAR(Survival(law, 1.0), 0.5, 0.01) << strategy.id;
    // Quartiles of the log-normal law of the same median and sigma.
    EXPECT_NEAR(Survival(law, std::exp(0.6745 * strategy.log_sd.value)), 0.25, 0.04) << strategy.id;
    EXPECT_NEAR(Survival(law, std::exp(-0.6745 * strategy.log_sd.value)), 0.75, 0.04) << strategy.id;
  }
}

// Share across within 30 min by J-CTO: 87.7, 67.1, 42.4, 10.0 % (j-cto-2011); the phases' sum is not quite log-normal.
TEST(BuildLadder, GivesTheRegistrysShareAcrossIn30Minutes) {
  const PriorStrategy wiring = PublishedPriors().strategies[0];
  const ClockLaw law = LawOfPhases(wiring.phases, wiring.log_sd.value).whole;
  const double published[] = {0.877, 0.671, 0.424, 0.100};
  for (std::size_t j = 0; j < kDifficulties; ++j) {
    ClockLaw own = law;
    own.scale_min *= wiring.median_min[j].value;
    EXPECT_NEAR(CrossedBy({wiring.can[j].value, own}, 30.0), published[j], 0.025) << j;
  }
}

TEST(BuildLadder, HoldsBackWhatFinishingCosts) {
  const auto ladder = BuildLadder(Input(kFacts));
  ASSERT_TRUE(ladder.ok());
  EXPECT_DOUBLE_EQ(*ladder->model.budget[kMinutes], 180 - 45);
  EXPECT_DOUBLE_EQ(*ladder->model.budget[kContrastMl], 3.7 * 70 - 60);  // J Am Coll Cardiol 2007;50:584-590
  EXPECT_DOUBLE_EQ(*ladder->model.budget[kKermaMgy], 5000 - 800);
  const auto unknown = BuildLadder(Input("{}"));
  ASSERT_TRUE(unknown.ok());
  EXPECT_FALSE(unknown->model.budget[kContrastMl]);
  EXPECT_NE(unknown->assumptions[1].find("eGFR is unknown"), std::string::npos);
}

TEST(BuildLadder, LeavesOutWhatIsClosed) {
  LadderInput input = Input(kFacts);
  input.session.run.closed = {"RW/RDR"};
  input.session.skills.dissection = false;
  const auto ladder = BuildLadder(input);
  ASSERT_TRUE(ladder.ok());
  ASSERT_EQ(ladder->strategies.size(), 1U);
  EXPECT_EQ(ladder->left_out.size(), 2U);
}

TEST(BuildLadder, TakesTheLogsWordsOfTheRetrogradeWay) {
  for (const char* word : {"RW", "RDR", "RW/RDR"}) {
    LadderInput input = Input(kFacts);
    input.session.run.closed = {word};
    const auto ladder = BuildLadder(input);
    ASSERT_TRUE(ladder.ok()) << word;
    EXPECT_EQ(ladder->strategies.size(), 2U) << word;
  }
}

TEST(BuildLadder, RefusesAWayItDoesNotKnow) {
  LadderInput input = Input(kFacts);
  input.session.run.closed = {"XYZ"};
  EXPECT_FALSE(BuildLadder(input).ok());
  input.session.run.closed = {};
  input.session.run.tried = {{.strategy = "XYZ", .minutes = 3}};
  EXPECT_FALSE(BuildLadder(input).ok());
  input.session.run.tried = {};
  input.session.run.attempt = Attempt{"XYZ", "", 0, 5};
  EXPECT_FALSE(BuildLadder(input).ok());
  input.session.run.attempt = Attempt{"AW", "nowhere", 0, 5};
  EXPECT_NE(Sentence(BuildLadder(input).error()).find("no phase of AW called"), std::string::npos);
}

// Minutes that the best plan gives to the attempt, with another way to change to.
int MinutesGiven(StrategyModel way, const std::vector<double>& weights, double left_min) {
  way.id = "this";
  StrategyModel other{"other", {0.7, 0.5}, {LawKind::kExponential, 25.0}, 0.0, {1, 0, 0}, {10, 0, 0}};
  const LadderModel model{{way, other}, weights, 0.0, {left_min, std::nullopt, std::nullopt}, {}};
  int minutes = 0;
  for (const Rung& rung : Solve(model).plan) minutes += rung.strategy == 0 ? rung.minutes : 0;
  return minutes;
}

// A milestone no later than its prior median: neither the chance that this way can cross, nor the chance to cross within
// what the session leaves, nor the minutes that the best plan gives it fall below what the clock alone would say.
TEST(InPhase, AMilestoneInTimeLowersNeitherChanceNorPatience) {
  const Priors priors = PublishedPriors();
  for (const PriorStrategy& prior : priors.strategies) {
    const PhasedLaw shape = LawOfPhases(prior.phases, prior.log_sd.value);
    const double median = prior.median_min[2].value;
    StrategyModel way{prior.id, {0.8, 0.4}, shape.whole, 0.0, {1, 0, 0}, {}};
    way.law.scale_min *= median;
    double elapsed = 0.0;
    for (std::size_t phase = 0; phase + 1 < prior.phases.size(); ++phase) {
      SCOPED_TRACE(prior.id + " past " + prior.phases[phase].id);
      elapsed += prior.phases[phase].time_share * shape.unit_min * median;
      const double left = std::max(30.0, 150.0 - elapsed);
      std::vector<double> reached = {0.5, 0.5};
      const StrategyModel after = InPhase(way, prior, median, phase + 1, 0.0, reached);
      LadderModel blind{{way}, {0.5, 0.5}, 0.0, {}, {}};
      blind = AfterTrying(blind, 0, elapsed);
      double can = 0.0, can_blind = 0.0, crossed = 0.0, crossed_blind = 0.0;
      for (std::size_t c = 0; c < 2; ++c) {
        can += reached[c] * after.can[c];
        can_blind += blind.class_weights[c] * blind.strategies[0].can[c];
        crossed += reached[c] * CrossedBy({after.can[c], after.law}, left);
        crossed_blind += blind.class_weights[c] * CrossedBy({blind.strategies[0].can[c], blind.strategies[0].law}, left);
      }
      EXPECT_GE(can, can_blind);
      EXPECT_GE(crossed, crossed_blind);
      EXPECT_GE(MinutesGiven(after, reached, left), MinutesGiven(blind.strategies[0], blind.class_weights, left));
    }
  }
}

// Utility by minutes given to AW, the rest fitted anew: computed outside by enumeration (case3.h).
TEST(Improve, RefitsTheRestOfAPlan) {
  const LadderModel model = Case3(90, 1, .001);
  const Blocks blocks(model);
  const double expected[] = {0.772501, 0.794274, 0.805125, 0.807998, 0.804680, 0.796227, 0.783188, 0.765615};
  for (int i = 0; i < 8; ++i) {
    const int minutes = 5 * (i + 1), rest = 67 - minutes;
    const auto plan = Improve(blocks, {{0, minutes}, {1, rest / 2}, {2, rest - rest / 2}}, {.fixed = 1});
    EXPECT_NEAR(Evaluate(blocks, plan).utility, expected[i], 6e-7) << minutes;
  }
}

TEST(Look, ShowsTheRobustFirst) {
  LadderInput input = Input(kFacts);
  input.session.run.attempt = Attempt{"AW", "", 0, 10};
  input.session.limits.used = {10, 20, 200};
  const auto ladder = BuildLadder(input);
  ASSERT_TRUE(ladder.ok());
  const Outlook outlook = Look(*ladder, input.priors, 50);
  ASSERT_TRUE(outlook.patience);
  const Patience& patience = *outlook.patience;
  EXPECT_GE(patience.kept_to_end, 0.0);
  EXPECT_LE(patience.difference_band.low, patience.difference_band.high);
  EXPECT_NEAR(patience.difference, patience.ten_more.p_cross - patience.change_now.p_cross, 1e-12);
  EXPECT_GE(outlook.solution.value.utility, EvaluateAlone(ladder->model, patience.change_now.plan).utility - 1e-9);
  EXPECT_GE(outlook.solution.value.utility, EvaluateAlone(ladder->model, patience.ten_more.plan).utility - 1e-9);
  for (const RungView& rung : outlook.rungs) {
    EXPECT_LE(rung.flat_from, rung.minutes);
    EXPECT_GE(rung.flat_to, rung.minutes);
  }
  ASSERT_EQ(outlook.fits.size(), 2U);
  // 125 minutes are left for crossing; retrograde takes 15 to set up and at least 15 to work.
  for (const FitView& fit : outlook.fits) {
    if (ladder->strategies[fit.strategy].id != "RW/RDR") continue;
    EXPECT_TRUE(fit.fits_now);
    EXPECT_LE(*fit.fits_for_min, 125 - 30);
  }
}

TEST(LadderJson, NeverCommands) {
  const auto answer = AnswerLadder(Input(kFacts), {.draws = 20, .doubts = 5});
  ASSERT_TRUE(answer.ok());
  const std::string json = LadderJson(*answer);
  for (const char* word : {"switch now", "you must", "you should", "change now!", "do not "}) EXPECT_EQ(json.find(word), std::string::npos) << word;
  EXPECT_NE(json.find("published, not yours"), std::string::npos);
}

TEST(Look, WithNothingLeftSaysSo) {
  LadderInput input = Input(kFacts);
  input.session.limits.limit[kMinutes] = 30;
  const auto ladder = BuildLadder(input);
  ASSERT_TRUE(ladder.ok());
  const Outlook outlook = Look(*ladder, input.priors, 20);
  EXPECT_TRUE(outlook.rungs.empty());
  for (const FitView& fit : outlook.fits) EXPECT_FALSE(fit.fits_now);
}

TEST(Priors, SurviveTheirOwnText) {
  const auto again = ParsePriors(PriorsJson(PublishedPriors()));
  ASSERT_TRUE(again.ok()) << Sentence(again.error());
  EXPECT_EQ(PriorsJson(*again), PriorsJson(PublishedPriors()));
}

TEST(Priors, TakeTheLabsOwnFiguresAndRefuseWhatTheyDoNotKnow) {
  const auto own = ParsePriors(R"({"owner": "lead operator", "version": "3", "complication_weight": 12, "strategies": {"ADR": {"setup_min": {"value": 5, "spread": 1, "source": "own log, 40 attempts"}}}})");
  ASSERT_TRUE(own.ok()) << Sentence(own.error());
  EXPECT_EQ(own->complication_weight.value, 12);
  EXPECT_EQ(own->complication_weight.source, "the lab's own");
  EXPECT_EQ(own->strategies[1].setup_min.source, "own log, 40 attempts");
  for (const char* bad : {R"({"complication_wait": 1})", R"({"strategies": {"AW": {"phases": {"cap": {"time": 1, "fail": 1}}}}})", R"({"strategies": {"XX": {}}})", R"({"complication_weight": -1})", "[]", R"({"strategies": {"AW": {"can": {"7": 0.2}}}})"}) {
    EXPECT_FALSE(ParsePriors(bad).ok()) << bad;
  }
}

// A lab edits the text by hand: what it cannot mean is refused in one sentence that says where.
TEST(Priors, RefuseAHandsMistakeWithItsPlace) {
  const auto refused = [](const char* text) {
    const auto read = ParsePriors(text);
    return read.ok() ? std::string("taken") : Sentence(read.error());
  };
  EXPECT_EQ(refused(R"({"strategies": {"AW": {"can": {"0": "0.5"}}}})"), "0 is neither a number nor {\"value\", \"spread\", \"source\"} (priors of AW, can by J-CTO): write one of them");
  EXPECT_EQ(refused(R"({"strategies": {"AW": {"can": {"0": 1.2}}}})"), "0 is out of range (priors of AW, can by J-CTO): write 0 to 1");
  EXPECT_EQ(refused(R"({"complication_weight": {"value": 5, "sprd": 1}})"), "complication_weight has no member called \"sprd\" (priors): write {\"value\": number, \"spread\": number, \"source\": text}");
  EXPECT_EQ(refused(R"({"complication_weight": {"value": 5, "spread": "wide"}})"), "the spread of complication_weight is of the wrong kind (priors): write {\"value\": number, \"spread\": number, \"source\": text}");
  EXPECT_EQ(refused(R"({"complication_weight": 5, "complication_weight": 7})"), "\"complication_weight\" stands twice in one object (priors): keep one of them");
  EXPECT_EQ(refused(R"({"version": 5})"), "version is not a text (priors): write it in quotes");
  EXPECT_EQ(refused(R"({"stop_worth": 2})"), "stop_worth is out of range (priors): write 0 to 1");
}

// Long texts are cut between characters: half of one would make every later answer impossible to write.
TEST(Priors, CutLongTextsBetweenCharacters) {
  std::string long_text = "a";
  for (int i = 0; i < 150; ++i) long_text += "\xC3\xA9";
  const auto read = ParsePriors(R"({"version": ")" + long_text + R"(", "owner": ")" + long_text + R"(", "complication_weight": {"value": 5, "source": ")" + long_text + R"("}})");
  ASSERT_TRUE(read.ok()) << Sentence(read.error());
  EXPECT_EQ(read->complication_weight.source.size(), 199U);
  EXPECT_TRUE(ParsePriors(PriorsJson(*read)).ok());
}

TEST(Session, IsReadStrictly) {
  const auto session = ParseSession(R"({"minutes": 120, "contrast_ml": null, "reserve": {"minutes": 30}, "used": {"contrast_ml": 80},
    "skills": {"retrograde": false}, "tried": [{"strategy": "AW", "minutes": 12}], "attempt": {"strategy": "ADR", "phase": "entry", "phase_min": 3}, "closed": ["RW"]})");
  ASSERT_TRUE(session.ok()) << Sentence(session.error());
  EXPECT_EQ(*session->limits.limit[kMinutes], 120);
  EXPECT_EQ(*session->limits.reserve[kMinutes], 30);
  EXPECT_EQ(session->limits.used[kContrastMl], 80);
  EXPECT_FALSE(session->skills.retrograde);
  EXPECT_EQ(session->run.tried.at(0).minutes, 12);
  EXPECT_EQ(session->run.attempt->phase, "entry");
  for (const char* bad : {"[]", "{", R"({"minuts": 3})", R"({"minutes": -3})", R"({"used": 3})", R"({"skills": {"ultrasound": 1}})", R"({"tried": {}})", R"({"closed": [1]})"}) {
    EXPECT_FALSE(ParseSession(bad).ok()) << bad;
  }
}

}  // namespace
}  // namespace fairlead
