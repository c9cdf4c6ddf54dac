// SPDX-License-Identifier: Apache-2.0
// Whether the band of a plan is honest: truths drawn from the priors by another generator, and the chance to finish
// computed here in closed form for log-normal times, given that the attempt has not crossed yet.
#include "reasoning/strategy/draws.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <string>

#include "reasoning/strategy/panel.h"

namespace fairlead {
namespace {

// One way, one phase, no complications: the median 40 min, the log's spread 0.9, all of it worth 6 attempts.
Priors OneWay() {
  const auto priors = ParsePriors(R"({"strategies": {"AW": {
    "can": {"0": {"value": 0.7, "spread": 6}, "1": {"value": 0.7, "spread": 6}, "2": {"value": 0.7, "spread": 6}, "3": {"value": 0.7, "spread": 6}},
    "median_min": {"0": {"value": 40, "spread": 0.4}, "1": {"value": 40, "spread": 0.4}, "2": {"value": 40, "spread": 0.4}, "3": {"value": 40, "spread": 0.4}},
    "log_sd": 0.9, "complication_per_hour": {"value": 0, "spread": 0},
    "phases": {"cap": {"time": 1, "fail": 1}, "body": {"time": 0, "fail": 0}, "lumen": {"time": 0, "fail": 0}}}}})");
  return priors.ok() ? *priors : PublishedPriors();  // the test asks which it was
}

struct Truth {
  double can = 0.0, median_min = 0.0;
};

double Gone(double minutes, double median_min) { return minutes <= 0.0 ? 0.0 : 0.5 * std::erfc(-std::log(minutes / median_min) / 0.9 / std::numbers::sqrt2); }

struct Seen {
  double likely = 0.0;  // that it is not across by then
  double later = 0.0;   // given that, that `more` minutes bring it across
};
Seen After(const Truth& truth, double minutes, double more) {
  const double spread = std::min({0.2, truth.can, 1.0 - truth.can});
  Seen seen;
  double across = 0.0;
  for (const double can : {truth.can + spread, truth.can - spread}) {
    seen.likely += 0.5 * (1.0 - can * Gone(minutes, truth.median_min));
    across += 0.5 * can * (Gone(minutes + more, truth.median_min) - Gone(minutes, truth.median_min));
  }
  seen.later = across / seen.likely;
  return seen;
}

class TheBandOfAPlan : public ::testing::TestWithParam<double> {};

TEST_P(TheBandOfAPlan, HoldsTheTruthNineTimesInTenWhateverHasPassed) {
  LadderInput input{.facts = {}, .priors = OneWay(), .session = {}};
  ASSERT_EQ(input.priors.strategies[0].log_sd.value, 0.9);
  const double passed = GetParam();
  input.session.run.closed = {"ADR", "RW/RDR"};
  for (const bool with_phase : {false, true}) {  // "not across yet" is the same news however it is logged
    input.session.run.attempt = Attempt{"AW", with_phase ? "cap" : "", passed, passed};
    const auto answer = AnswerLadder(input, {.draws = 1000, .algorithms = false});
    ASSERT_TRUE(answer.ok());
    ASSERT_EQ(answer->outlook.solution.plan.size(), 1U);
    const double more = answer->outlook.solution.plan.front().minutes;
    std::mt19937_64 random(20310304);
    std::gamma_distribution<double> a(0.7 * 6), b(0.3 * 6);
    std::normal_distribution<double> normal;
    double below = 0.0, above = 0.0, sum = 0.0;
    for (int i = 0; i < 20'000; ++i) {
      const double x = a(random), y = b(random);
      const Seen seen = After({x / (x + y), 40.0 * std::exp(0.4 * normal(random))}, passed, more);
      sum += seen.likely;
      below += seen.later < answer->outlook.p_cross.low ? seen.likely : 0.0;
      above += seen.later > answer->outlook.p_cross.high ? seen.likely : 0.0;
    }
    const std::string where = std::to_string(passed) + " min, " + std::to_string(below / sum) + " below, " + std::to_string(above / sum) + " above";
    // 1,000 draws place a 5 % tail within 0.7 % (one standard error), with weights within 1 %.
    EXPECT_NEAR(below / sum, 0.05, 0.025) << where;
    EXPECT_NEAR(above / sum, 0.05, 0.025) << where;
    std::printf("%s\n", where.c_str());
  }
}
INSTANTIATE_TEST_SUITE_P(Minutes, TheBandOfAPlan, ::testing::Values(0.0, 30.0, 90.0));

TEST(BandOf, WeighsEachValue) {
  // Nine in ten of the weight on 1: half of it lies at or just above 1, whatever the other values are.
  const DrawBand band = BandOf({5.0, 1.0, 7.0}, {0.04, 0.9, 0.06});
  EXPECT_NEAR(band.low, 1.0, 1e-12);
  EXPECT_LT(band.middle, 2.0);
  EXPECT_GT(band.high, 5.0);
  const DrawBand even = BandOf({0.0, 1.0, 2.0, 3.0, 4.0}, {2.0, 2.0, 2.0, 2.0, 2.0});
  EXPECT_NEAR(even.middle, 2.0, 1e-12);
  EXPECT_NEAR(BandOf({1.0, 3.0}, {0.0, 0.0}).middle, 2.0, 1e-12);  // nothing was likely: as if all were
}

// The chance that all draws agree on is drawn as such: 0 and 1 have no band.
TEST(DrawnModel, KeepsCertaintiesCertain) {
  LadderInput input{.facts = {}, .priors = OneWay(), .session = {}};
  for (PriorFigure& can : input.priors.strategies[0].can) can.value = 0.0;
  const auto ladder = BuildLadder(input);
  ASSERT_TRUE(ladder.ok());
  for (std::uint64_t draw = 0; draw < 5; ++draw) {
    const DrawnLadder drawn = DrawnModel(*ladder, input.priors, draw);
    for (const double can : drawn.model.strategies[0].can) EXPECT_EQ(can, 0.0);
  }
}

}  // namespace
}  // namespace fairlead
