// SPDX-License-Identifier: Apache-2.0
// Worked cases of every score: at, below and above each cut-off, with facts missing, unseen or not determinable.
// Sources of the points stand in worked_cases.json beside the cases.
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "reasoning/score/score.h"

namespace fairlead {
namespace {

nlohmann::json WorkedCases() {
  std::ifstream file(FAIRLEAD_TESTS_DIR "/reasoning/score/worked_cases.json");
  return nlohmann::json::parse(file);
}

TEST(Evaluate, GivesTheTotalsAndGroupsOfTheWorkedCases) {
  const auto worked = WorkedCases();
  std::set<std::string> scores;
  for (const auto& one : worked["cases"]) {
    SCOPED_TRACE(one["id"].get<std::string>());
    const auto facts = ParseFacts(one["facts"].dump());
    ASSERT_TRUE(facts.ok()) << Sentence(facts.error());
    const auto* score = FindScore(one["score"].get<std::string>());
    ASSERT_NE(score, nullptr);
    scores.insert(one["score"]);
    const auto result = Evaluate(*score, WithDerived(*facts));
    if (one.contains("applies")) {
      EXPECT_FALSE(result.applies);
      EXPECT_FALSE(result.why.empty());
      EXPECT_FALSE(result.totals.has_value());
      continue;
    }
    EXPECT_TRUE(result.applies);
    EXPECT_EQ(result.low, one["low"].get<double>());
    EXPECT_EQ(result.high, one["high"].get<double>());
    EXPECT_EQ(result.reachable_groups, one["groups"].get<std::vector<std::string>>());
    EXPECT_EQ(result.missing.empty(), result.low == result.high);
    EXPECT_EQ(result.totals.has_value(), result.missing.empty());
  }
  EXPECT_EQ(worked["cases"].size(), 80U);
  EXPECT_EQ(scores.size(), 20U);
  EXPECT_EQ(worked["sources"].size(), 20U);
}

}  // namespace
}  // namespace fairlead
