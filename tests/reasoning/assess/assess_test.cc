// SPDX-License-Identifier: Apache-2.0
#include "reasoning/assess/assess.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "casebook/fact_json.h"

namespace fairlead {
namespace {

Assessment Of(const char* json) {
  const auto facts = ParseFacts(json);
  EXPECT_TRUE(facts.ok()) << (facts.ok() ? "" : Sentence(facts.error()));
  return Assess(*facts);
}

std::vector<const ScoreResult*> Results(const Assessment& assessment, const char* id) {
  std::vector<const ScoreResult*> found;
  for (const auto& result : assessment.scores) {
    if (result.definition->id == id) found.push_back(&result);
  }
  return found;
}

TEST(Assess, GivesEveryScoreEvenWithoutAnyFact) {
  const auto assessment = Of("{}");
  EXPECT_EQ(assessment.scores.size(), AllScores().size());
  EXPECT_TRUE(assessment.disagreement.empty());
  EXPECT_TRUE(assessment.remarks.empty());
  for (const auto& result : assessment.scores) {
    if (result.definition->status == ScoreStatus::kHold) continue;
    SCOPED_TRACE(result.definition->id);
    EXPECT_EQ(result.low, result.definition->low);
    EXPECT_EQ(result.high, result.definition->high);
    EXPECT_FALSE(result.totals);
    EXPECT_FALSE(result.missing.empty());
  }
}

TEST(Assess, ListsWhatEachFactIsWaitedForBy) {
  const auto assessment = Of(R"({"stump_angio": "blunt", "calcification_angio": "mild", "bend_angio_deg": 20,
    "length_angio_mm": 12})");
  const auto& retry = assessment.waiting.at("previous_failed_attempts");
  EXPECT_EQ(std::ranges::count(retry, "j-cto"), 1);
  EXPECT_EQ(std::ranges::count(retry, "cl"), 1);  // whether CL applies depends on it
  EXPECT_FALSE(assessment.waiting.contains("stump_angio"));
  EXPECT_FALSE(assessment.waiting.contains("glucose"));  // only a score on HOLD would read it
}

TEST(Assess, AddsDerivedFactsAndScoresEachChannel) {
  const auto assessment = Of(R"({"cto_segment": "11", "proximal_cap_ambiguous": true, "proximal_bends_deg": [95],
    "interventional_collateral": false, "calcification_angio": "none",
    "channels": {"c1": {"collateral_channel": "septal", "collateral_cc_grade": "2", "collateral_tortuous": false},
                 "c2": {"collateral_channel": "epicardial"}}})");
  EXPECT_EQ(Results(assessment, "progress-cto")[0]->totals->begin()->first, 4.0);
  const auto channels = Results(assessment, "jr-cto");
  ASSERT_EQ(channels.size(), 2U);
  EXPECT_EQ(channels[0]->of, "c1");
  EXPECT_EQ(channels[0]->high, 0.0);
  EXPECT_EQ(channels[1]->low, 1.0);
  EXPECT_EQ(channels[1]->high, 3.0);
}

TEST(Assess, CarriesRemarksWithTheirFacts) {
  const auto assessment = Of(R"({"length_ct_mm": 20, "length_angio_mm": 40})");
  ASSERT_EQ(assessment.remarks.size(), 1U);
  EXPECT_EQ(assessment.remarks[0].because, (std::vector<std::string>{"length_angio_mm", "length_ct_mm"}));
}

}  // namespace
}  // namespace fairlead
