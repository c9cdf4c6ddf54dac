// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/algorithm.h"

#include <gtest/gtest.h>

#include "casebook/derive.h"
#include "casebook/fact_json.h"

namespace fairlead {
namespace {

const Algorithm& Named(std::string_view id) {
  for (const Algorithm& each : PublishedAlgorithms()) {
    if (each.id == id) return each;
  }
  ADD_FAILURE() << id;
  return PublishedAlgorithms().front();
}

AlgorithmAdvice On(std::string_view id, const char* facts, const Skills& skills = {}) {
  const auto parsed = ParseFacts(facts);
  EXPECT_TRUE(parsed.ok());
  return Advise(Named(id), AnswersFrom(WithDerived(*parsed)), skills);
}

// "AW, AW-parallel|ADR, ..."
std::string Order(const AlgorithmAdvice& advice) {
  std::string text;
  for (const auto& step : advice.steps) {
    text += text.empty() ? "" : ", ";
    for (std::size_t i = 0; i < step.size(); ++i) text += (i == 0 ? "" : "|") + std::string(IdOf(step[i]));
  }
  return text;
}

constexpr const char* kClearShort = R"({"proximal_cap_ambiguous": false, "distal_landing_zone_diseased": false, "length_angio_mm": 12, "interventional_collateral": true})";
constexpr const char* kClearLong = R"({"proximal_cap_ambiguous": false, "distal_landing_zone_diseased": false, "length_angio_mm": 35, "interventional_collateral": false,
  "course_clear": true, "calcification_angio": "mild", "previous_failed_attempts": 0, "proximal_tortuosity": "none", "in_stent": false, "side_branch_at_cap": false})";
constexpr const char* kAmbiguous = R"({"proximal_cap_ambiguous": true, "distal_landing_zone_diseased": false, "length_angio_mm": 25, "interventional_collateral": true})";

// Orders as the articles and their later summaries print them (src/measure/source.cc says which were read).
TEST(Hybrid, GivesThePublishedOrders) {
  EXPECT_EQ(Order(On("hybrid-2012", kClearShort)), "AW, ADR, RW, RDR");
  EXPECT_EQ(Order(On("hybrid-2012", kClearLong)), "ADR, AW");
  EXPECT_EQ(Order(On("hybrid-2012", kAmbiguous)), "RDR, ADR");
  const auto poor = On("hybrid-2012", R"({"proximal_cap_ambiguous": false, "distal_landing_zone_diseased": true, "length_angio_mm": 12, "interventional_collateral": false})");
  EXPECT_EQ(Order(poor), "AW|ADR");
  EXPECT_NE(poor.remarks.at(0).find("weak indication"), std::string::npos);
}

TEST(Hybrid, LeavesOutWhatNobodyHereCanDo) {
  const auto advice = On("hybrid-2012", kAmbiguous, {.retrograde = false});
  EXPECT_EQ(Order(advice), "ADR");
  EXPECT_NE(advice.remarks.at(0).find("refer"), std::string::npos);
}

TEST(AsiaPacific, DoesNotChooseByLengthAlone) {
  EXPECT_EQ(Order(On("asia-pacific-2017", kClearLong)), "AW, AW-parallel|ADR, AW-ultrasound");
  const auto entry = On("asia-pacific-2017", R"({"proximal_cap_ambiguous": true, "side_branch_at_cap": true, "interventional_collateral": true})");
  EXPECT_EQ(Order(entry).substr(0, 21), "ENTRY-ultrasound, AW,");
}

TEST(Global, OffersTheWaysAroundAnAmbiguousCap) {
  const auto advice = On("global-2021", R"({"proximal_cap_ambiguous": true, "interventional_collateral": false})", {.ultrasound = false, .ct_done = false});
  EXPECT_EQ(Order(advice), "CT, ENTRY-beside, ADR, INVEST");
}

TEST(Japan, GoesRetrogradeAfterAFailedAttempt) {
  const auto advice = On("japan-2019", R"({"proximal_cap_ambiguous": false, "length_angio_mm": 30, "previous_failed_attempts": 1, "interventional_collateral": true})");
  EXPECT_EQ(advice.steps.front().front(), Technique::kRetrogradeWiring);
}

TEST(Advise, GivesBothBranchesAndSaysWhichFactDecides) {
  const auto advice = On("hybrid-2012", R"({"distal_landing_zone_diseased": false, "length_angio_mm": 12, "interventional_collateral": true})");
  ASSERT_EQ(advice.missing, std::vector<Ask>{Ask::kCapClear});
  EXPECT_EQ(advice.decides, Ask::kCapClear);
  ASSERT_EQ(advice.first.size(), 2U);  // AW if clear, RW if not
  for (const auto& first : advice.first) {
    EXPECT_EQ(first.low, 0.0);
    EXPECT_EQ(first.high, 1.0);
  }
}

TEST(Advise, CarriesTheSpreadOfALength) {
  const auto advice = On("hybrid-2012", R"({"proximal_cap_ambiguous": false, "distal_landing_zone_diseased": false,
    "length_angio_mm": {"value": 19, "sd": 3}, "interventional_collateral": false})");
  // P(length >= 20) of a normal law with mean 19 and sd 3: 1 - Phi(1/3) = 0.369441.
  EXPECT_EQ(advice.first.at(0).technique, Technique::kWiring);
  EXPECT_NEAR(advice.first.at(0).low, 1 - 0.369441, 1e-6);
  EXPECT_NEAR(advice.first.at(1).high, 0.369441, 1e-6);
}

TEST(CampsOf, SayWhereTheAlgorithmsDisagree) {
  const auto parsed = ParseFacts(kClearLong);
  ASSERT_TRUE(parsed.ok());
  const auto camps = CampsOf(AdviseAll(WithDerived(*parsed), {}));
  ASSERT_EQ(camps.size(), 2U);  // 20 mm alone: only the hybrid chart begins with dissection
  EXPECT_EQ(camps[0].family, "antegrade wiring");
  EXPECT_EQ(camps[0].algorithms.size(), 4U);
  EXPECT_EQ(camps[1].family, "antegrade dissection");
  EXPECT_EQ(camps[1].algorithms.at(0)->id, "hybrid-2012");
}

TEST(Advise, AddsUpToOneWhateverIsKnown) {
  for (const Algorithm& algorithm : PublishedAlgorithms()) {
    AnswerOdds odds;
    for (std::size_t i = 0; i < kAsks; ++i) odds[i] = 0.1 + 0.07 * static_cast<double>(i);
    double sum = 0.0;
    for (const auto& first : Advise(algorithm, odds, {}).first) sum += first.low;
    EXPECT_NEAR(sum, 1.0, 1e-12) << algorithm.id;
    AnswerOdds none;
    EXPECT_EQ(Advise(algorithm, none, {}).missing.size(), algorithm.asks.size());
  }
}

}  // namespace
}  // namespace fairlead
