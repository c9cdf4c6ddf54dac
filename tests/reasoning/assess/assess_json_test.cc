// SPDX-License-Identifier: Apache-2.0
#include "reasoning/assess/assess_json.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "casebook/fact_json.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;

constexpr const char* kFile = R"({"stump_angio": {"blunt": 0.37, "tapered": 0.63}, "calcification_angio": "mild",
  "bend_angio_deg": 20, "length_angio_mm": 12, "previous_failed_attempts": 0, "prior_cabg": true})";

TEST(ScoresJson, GivesTheResultsThatOtherProgramsRead) {
  const auto told = Json::parse(ScoresJson(Assess(*ParseFacts(kFile)), "j-cto"));
  ASSERT_EQ(told["scores"].size(), 1U);
  const auto& score = told["scores"][0];
  EXPECT_EQ(score["id"], "j-cto");
  EXPECT_EQ(score["status"], "FULL");
  EXPECT_EQ(score["totals"], (Json{{"1", 0.63}, {"2", 0.37}}));
  EXPECT_EQ(score["low"], 1);
  EXPECT_EQ(score["high"], 2);
  EXPECT_EQ(score["missing"], Json::array());
  EXPECT_EQ(score["group"], (Json{{"intermediate", 0.63}, {"difficult", 0.37}}));
  EXPECT_NEAR(score["outcome"][0]["value"].get<double>(), 0.63 * 0.67 + 0.37 * 0.42, 1e-9);
  EXPECT_EQ(score["outcome"][0]["source"], "j-cto-2011");
  EXPECT_TRUE(score["outcome"][1]["value"].is_null());
  EXPECT_EQ(score["outcome"][1]["checked"], "memory");
  EXPECT_EQ(score["sources"][0], "j-cto-2011");
  EXPECT_EQ(score["items"][0]["points"], (Json{{"0", 0.63}, {"1", 0.37}}));
}

TEST(ScoresJson, LeavesTotalsOutOnHoldAndWhereAScoreDoesNotApply) {
  const auto told = Json::parse(ScoresJson(Assess(*ParseFacts(kFile))));
  for (const auto& score : told["scores"]) {
    SCOPED_TRACE(score["id"].get<std::string>());
    EXPECT_TRUE(score.contains("missing") && score.contains("outcome") && score.contains("sources"));
    if (score["status"] == "HOLD" || score["applies"] == false) {
      EXPECT_FALSE(score.contains("totals") || score.contains("low") || score.contains("high"));
    }
    if (score["id"] == "pericardiocentesis-2022") {
      EXPECT_EQ(score["applies"], false);
      EXPECT_FALSE(score["why"].get<std::string>().empty());
    }
    for (const auto& outcome : score["outcome"]) {
      EXPECT_TRUE(outcome["checked"] != "memory" || (outcome["low"].is_null() && outcome["high"].is_null()));
      EXPECT_EQ(outcome["unit"], score["id"] == "progress-cto" ? "times" : "share");
      const bool is_share = outcome["unit"] == "share" && outcome["high"].is_number();
      EXPECT_LE(is_share ? outcome["high"].get<double>() : 0.0, 1.0);
    }
  }
}

TEST(AssessmentJson, HasTheMembersOfTheContract) {
  const auto told = Json::parse(AssessmentJson(Assess(*ParseFacts(kFile)), 7));
  EXPECT_EQ(told["seq"], 7);
  EXPECT_EQ(told["scores"].size(), AllScores().size());
  EXPECT_TRUE(told["waiting"].is_object() && told["disagreement"].is_array() && told["remarks"].is_array());
  EXPECT_EQ(told["waiting"]["rentrop"], (Json{"w-cto", "ora"}));
}

TEST(AssessmentJson, PrintsTheSameBytesEachTime) {
  EXPECT_EQ(AssessmentJson(Assess(*ParseFacts(kFile))), AssessmentJson(Assess(*ParseFacts(kFile))));
}

TEST(ScoreDefinitionsJson, TellsEveryScoreAndNoFigureFromMemory) {
  const auto told = Json::parse(ScoreDefinitionsJson());
  ASSERT_EQ(told["scores"].size(), AllScores().size());
  for (const auto& score : told["scores"]) {
    SCOPED_TRACE(score["id"].get<std::string>());
    for (const auto* member : {"name", "question", "endpoint", "polarity", "status", "status_why", "low", "high",
                               "step", "items", "groups", "population", "not_for", "performance", "sources"}) {
      EXPECT_TRUE(score.contains(member)) << member;
    }
    for (const auto& rates : score["rates"]) EXPECT_TRUE(rates["checked"] == "seen" || rates["by_group"].is_null());
  }
}

}  // namespace
}  // namespace fairlead
