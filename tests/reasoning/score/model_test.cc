// SPDX-License-Identifier: Apache-2.0
// Models rebuilt from published odds ratios, against figures published beside them:
// JACC Cardiovasc Interv 2022;15:1413-1422 and its conference abstracts.
#include <gtest/gtest.h>

#include <cmath>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "reasoning/score/score.h"

namespace fairlead {
namespace {

ScoreResult On(const char* score, const char* json) {
  return Evaluate(*FindScore(score), WithDerived(*ParseFacts(json)));
}

const OutcomeResult& Model(const ScoreResult& result) {
  return result.outcome.back();
}

TEST(RiskModel, HasTheLogarithmsOfThePublishedOddsRatios) {
  const auto beta = [](const char* score, std::size_t item, std::size_t level = 0) {
    return FindScore(score)->items[item].levels[level].beta;
  };
  EXPECT_NEAR(beta("mace-2022", 0), std::log(1.57), 5e-5);
  EXPECT_NEAR(beta("mace-2022", 1), std::log(2.46), 5e-5);
  EXPECT_NEAR(beta("mace-2022", 2), std::log(1.71), 5e-5);
  EXPECT_NEAR(beta("mace-2022", 3), std::log(1.63), 5e-5);
  EXPECT_NEAR(beta("mace-2022", 4, 0), std::log(2.86), 5e-5);
  EXPECT_NEAR(beta("mace-2022", 4, 1), std::log(2.21), 5e-5 + 1e-4);  // 0.7930 against 0.7930
  EXPECT_NEAR(beta("death-2022", 0), std::log(2.83), 5e-5);
  EXPECT_NEAR(beta("death-2022", 1), std::log(2.13), 5e-5);
  EXPECT_NEAR(beta("death-2022", 2), std::log(2.45), 5e-5);
  EXPECT_NEAR(beta("death-2022", 3, 0), std::log(3.51), 5e-5);
  EXPECT_NEAR(beta("death-2022", 3, 1), std::log(2.81), 5e-5);
  EXPECT_NEAR(beta("pericardiocentesis-2022", 0), std::log(2.10), 5e-5);
  EXPECT_NEAR(beta("pericardiocentesis-2022", 1), std::log(2.25), 5e-5);
  EXPECT_NEAR(beta("pericardiocentesis-2022", 2), std::log(3.28), 1e-4);
  EXPECT_NEAR(beta("pericardiocentesis-2022", 3, 0), std::log(3.50), 5e-5);
  EXPECT_NEAR(beta("pericardiocentesis-2022", 3, 1), std::log(2.83), 1e-4);
}

// Published range 0.05 to 2.42 %; total 1 to 2: 0.1 to 0.5 %.
TEST(RiskModel, GivesThePublishedRangeOfDeath) {
  const char* const kLeast =
      R"({"age_years": 60, "lvef_pct": 60, "calcification_angio": "none", "strategy_category": "antegrade"})";
  const char* const kMost =
      R"({"age_years": 70, "lvef_pct": 30, "calcification_angio": "severe", "strategy_category": "retrograde"})";
  EXPECT_NEAR(*Model(On("death-2022", kLeast)).value, 0.0005, 0.00005);
  EXPECT_NEAR(*Model(On("death-2022", kMost)).value, 0.0242, 0.00005);
  EXPECT_NEAR(*Model(On("death-2022", R"({"age_years": 60, "lvef_pct": 45, "calcification_angio": "none",
    "strategy_category": "antegrade"})"))
                   .value,
              0.0010, 0.00005);
  EXPECT_NEAR(*Model(On("death-2022", R"({"age_years": 65, "lvef_pct": 60, "calcification_angio": "none",
    "strategy_category": "retrograde"})"))
                   .value,
              0.0047, 0.0001);
  EXPECT_NEAR(*Model(On("death-2022", R"({"age_years": 65, "lvef_pct": 45, "calcification_angio": "mild",
    "strategy_category": "antegrade"})"))
                   .value,
              0.00288, 0.00001);
  const auto open =
      On("death-2022", R"({"age_years": 70, "calcification_angio": "severe", "strategy_category": "retrograde"})");
  EXPECT_FALSE(Model(open).value);
  EXPECT_NEAR(*Model(open).low, 0.0115, 0.0001);
  EXPECT_NEAR(*Model(open).high, 0.0242, 0.0001);
  EXPECT_EQ(Model(open).checked, "computed");
}

// Published range 0.18 to 8.74 %; total 1 to 2: 0.4 to 1.6 %.
TEST(RiskModel, GivesThePublishedRangeOfPericardiocentesis) {
  EXPECT_NEAR(*Model(On("pericardiocentesis-2022", R"({"age_years": 64, "sex": "male", "calcification_angio": "none",
    "strategy_category": "antegrade", "prior_cabg": false})"))
                   .value,
              0.0018, 0.00005);
  EXPECT_NEAR(
      *Model(On("pericardiocentesis-2022", R"({"age_years": 70, "sex": "female", "calcification_angio": "severe",
    "strategy_category": "retrograde", "prior_cabg": false})"))
           .value,
      0.0874, 0.00005);
  EXPECT_NEAR(*Model(On("pericardiocentesis-2022", R"({"age_years": 70, "sex": "male", "calcification_angio": "none",
    "strategy_category": "antegrade", "prior_cabg": false})"))
                   .value,
              0.0037, 0.00005);
  EXPECT_NEAR(
      *Model(On("pericardiocentesis-2022", R"({"age_years": 60, "sex": "male", "calcification_angio": "moderate",
    "strategy_category": "dissection", "prior_cabg": false})"))
           .value,
      0.0161, 0.00005);
  EXPECT_NEAR(
      *Model(On("pericardiocentesis-2022", R"({"age_years": 70, "sex": "female", "calcification_angio": "moderate",
    "strategy_category": "dissection", "prior_cabg": false})"))
           .value,
      0.0719, 0.0002);
}

// Published range 0.4 to 9.4 %: the two ends cannot both hold, so the model gives a range.
TEST(RiskModel, GivesMaceAsARangeBesideTheIndependentTable) {
  const auto most = On("mace-2022", R"({"age_years": 70, "sex": "female", "calcification_angio": "moderate",
    "stump_angio": "blunt", "strategy_category": "retrograde"})");
  EXPECT_FALSE(Model(most).value);
  EXPECT_NEAR(*Model(most).low, 0.094, 0.0005);
  EXPECT_NEAR(*Model(most).high, 0.110, 0.0005);
  EXPECT_DOUBLE_EQ(*most.outcome[0].value, 0.058);
  const auto least = On("mace-2022", R"({"age_years": 64, "sex": "male", "calcification_angio": "mild",
    "stump_angio": "tapered", "strategy_category": "antegrade"})");
  EXPECT_NEAR(*Model(least).low, 0.0034, 0.00005);
  EXPECT_NEAR(*Model(least).high, 0.0040, 0.00005);
  EXPECT_DOUBLE_EQ(*least.outcome[0].value, 0.007);
}

TEST(RiskModel, GivesTheStrategiesSideBySideAndNeverChoosesOne) {
  const auto open =
      On("mace-2022", R"({"age_years": 65, "sex": "male", "calcification_angio": "mild", "stump_angio": "blunt"})");
  EXPECT_EQ(open.missing, std::vector<std::string>{"strategy_category"});
  EXPECT_FALSE(open.totals || open.decides);
  ASSERT_EQ(open.by_strategy.size(), 3U);
  const double totals[] = {2, 3, 4}, rates[] = {0.015, 0.022, 0.038};
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_DOUBLE_EQ(open.by_strategy[i].totals->at(totals[i]), 1.0);
    EXPECT_DOUBLE_EQ(*open.by_strategy[i].outcome[0].value, rates[i]);
  }
}

// exp(0.88 + 1.18 + 0.99 + 0.88) = 50.9 (coefficients of JACC Cardiovasc Interv 2016;9:1-9).
TEST(RiskModel, GivesTheOddsOfFailureAgainstATotalOfZero) {
  EXPECT_NEAR(*Model(On("progress-cto", R"({"proximal_cap_ambiguous": true, "proximal_tortuosity": "moderate",
    "occluded_vessel": "LCX", "interventional_collateral": false})"))
                   .value,
              50.9, 0.05);
  EXPECT_NEAR(*Model(On("progress-cto", R"({"proximal_cap_ambiguous": false, "proximal_bends_deg": [90],
    "occluded_vessel": "LCX", "interventional_collateral": true})"))
                   .value,
              2.69, 0.005);
  const auto open = On("progress-cto", R"({"proximal_cap_ambiguous": true, "proximal_tortuosity": "mild",
    "occluded_vessel": "LAD"})");
  EXPECT_NEAR(*Model(open).low, 2.41, 0.005);
  EXPECT_NEAR(*Model(open).high, 5.81, 0.005);
}

}  // namespace
}  // namespace fairlead
