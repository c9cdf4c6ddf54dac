// SPDX-License-Identifier: Apache-2.0
#include "reasoning/assess/disagreement.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "casebook/fact_json.h"

namespace fairlead {
namespace {

// Blunt, calcified, bent, short: J-CTO 3 (very difficult), CASTLE 1 (0-1).
constexpr const char* kSplit = R"({"stump_angio": "blunt", "calcification_angio": "mild", "bend_angio_deg": 60,
  "length_angio_mm": 12, "previous_failed_attempts": 0, "prior_cabg": false, "age_years": 55,
  "proximal_tortuosity": "none"})";

TEST(Disagreements, SayWhatEachScoreAsks) {
  const auto assessment = Assess(*ParseFacts(kSplit));
  const auto found = std::ranges::find_if(assessment.disagreement, [](const Disagreement& one) {
    return one.scores == std::vector<std::string>{"j-cto", "castle"};
  });
  ASSERT_NE(found, assessment.disagreement.end());
  EXPECT_EQ(
      found->text,
      "J-CTO says very difficult and asks: antegrade wire across within 30 min. CASTLE says 0-1 and asks: technical "
      "failure, any strategy. Both at once with a probability of 1.00.");
}

TEST(Disagreements, AreSilentWhereScoresAgree) {
  const auto easy =
      Assess(*ParseFacts(R"({"stump_angio": "tapered", "calcification_angio": "none", "bend_angio_deg": 10,
    "length_angio_mm": 10, "previous_failed_attempts": 0, "prior_cabg": false, "prior_mi": false, "age_years": 50,
    "proximal_tortuosity": "none", "occluded_vessel": "LAD", "ostial": false, "rentrop": "3"})"));
  EXPECT_TRUE(easy.disagreement.empty());
}

// The length feeds both: J-CTO is in its high band from two points, CASTLE in its low one up to one point. With a blunt
// stump and a length of 20 +- 3 mm (half above), both together mean J-CTO >= 2 from stump and length, and then CASTLE
// is 2: never both at once, although each alone has a probability of one half.
TEST(ChanceOfHighAndLow, TakesALengthThatFeedsBothScoresAsOneRandomThing) {
  const auto facts = ParseFacts(R"({"stump_angio": "blunt", "calcification_angio": "none", "bend_angio_deg": 10,
    "length_angio_mm": {"value": 20, "sd": 3}, "previous_failed_attempts": 0, "prior_cabg": false, "age_years": 50,
    "proximal_tortuosity": "none"})");
  ASSERT_TRUE(facts.ok());
  EXPECT_DOUBLE_EQ(ChanceOfHighAndLow(*FindScore("j-cto"), *FindScore("castle"), *facts, {}), 0.0);
  EXPECT_NEAR(Evaluate(*FindScore("j-cto"), *facts).group->at("difficult"), 0.5, 1e-12);
  EXPECT_NEAR(Evaluate(*FindScore("castle"), *facts).group->at("0-1"), 0.5, 1e-12);
}

// One length, several cut-offs (15, 20, 23 mm): for 19 +- 3 mm P(< 15) = 0.0912, P(15-20) = 0.5393, P(>= 23) = 0.0912.
TEST(ChanceOfHighAndLow, AppliesEveryCutOffToTheSameLength) {
  const auto facts = ParseFacts(R"({"age_years": 60, "length_angio_mm": {"value": 19, "sd": 3},
    "strategy_category": "antegrade", "stump_angio": "tapered", "calcification_angio": "none", "bend_angio_deg": 10,
    "previous_failed_attempts": 0})");
  ASSERT_TRUE(facts.ok());
  EXPECT_NEAR(Evaluate(*FindScore("complications-2016"), *facts).totals->at(2), 0.0912, 1e-4);
  EXPECT_NEAR(Evaluate(*FindScore("j-cto"), *facts).totals->at(1), 0.3694, 1e-4);
}

}  // namespace
}  // namespace fairlead
