// SPDX-License-Identifier: Apache-2.0
#include "casebook/derive.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "casebook/fact_json.h"

namespace fairlead {
namespace {

Facts File(const char* json) {
  const auto facts = ParseFacts(json);
  EXPECT_TRUE(facts.ok()) << (facts.ok() ? "" : Sentence(facts.error()));
  return facts.ok() ? *facts : Facts{};
}

std::string Value(const Facts& facts, const char* name) {
  return BeliefJson(*FindFact(name), BeliefOf(WithDerived(facts), {name, ""}));
}

bool Remarks(const Facts& facts, const char* name) {
  return std::ranges::any_of(Contradictions(WithDerived(facts)),
                             [name](const Remark& remark) { return std::ranges::count(remark.because, name) > 0; });
}

// EuroIntervention 2005;1:219-227: segment numbers; ramus (12) counted as LCX by practice.
TEST(VesselOfSegment, FollowsTheSegmentNumbers) {
  for (const auto* segment : {"1", "2", "3", "4", "16", "16a", "16b", "16c"})
    EXPECT_EQ(VesselOfSegment(segment), "RCA");
  for (const auto* segment : {"6", "7", "8", "9", "9a", "10", "10a"}) EXPECT_EQ(VesselOfSegment(segment), "LAD");
  for (const auto* segment : {"11", "12", "12a", "12b", "13", "14", "14a", "14b", "15"}) {
    EXPECT_EQ(VesselOfSegment(segment), "LCX");
  }
  EXPECT_EQ(VesselOfSegment("5"), "LM");
  for (const auto* segment : {"", "0", "17", "x", "160", "99999999999"}) EXPECT_EQ(VesselOfSegment(segment), "");
}

TEST(Derive, GivesTheVesselOfEachSegmentOfTheDictionary) {
  for (const auto segment : FindFact("cto_segment")->grades) {
    const Facts facts{{{"cto_segment", ""}, GradeOdds{{{std::string(segment), 1.0}}}}};
    EXPECT_EQ(Value(facts, "occluded_vessel"), "\"" + std::string(VesselOfSegment(segment)) + "\"");
  }
}

TEST(Derive, CarriesOddsAndNeverOverwritesWhatIsStated) {
  EXPECT_EQ(Value(File(R"({"cto_segment": {"6": 0.25, "7": 0.5, "11": 0.25}})"), "occluded_vessel"),
            R"({"LAD":0.75,"LCX":0.25})");
  EXPECT_EQ(Value(File(R"({"cto_segment": "1", "occluded_vessel": "LAD"})"), "occluded_vessel"), "\"LAD\"");
  EXPECT_EQ(Value(File(R"({"occluded_vessel": {"graft": 0.25, "LAD": 0.75}})"), "native_or_graft"),
            R"({"graft":0.25,"native":0.75})");
  EXPECT_TRUE(Derive({}).empty());
}

TEST(Derive, SaysItsRuleAndItsFacts) {
  const auto derived = Derive(File(R"({"cto_segment": "12"})"));
  ASSERT_FALSE(derived.empty());
  EXPECT_NE(derived[0].rule.find("practice"), std::string::npos);
  ASSERT_EQ(derived[0].because.size(), 1U);
  EXPECT_EQ(derived[0].because[0].name, "cto_segment");
}

// Both rules from memory: JACC Cardiovasc Interv 2016;9:1-9 (registry), EuroIntervention 2005;1:219-227.
TEST(Tortuosity, FollowsTheBends) {
  EXPECT_EQ(RegistryTortuosity({75, 72}), "moderate");
  EXPECT_EQ(RegistryTortuosity({95}), "moderate");
  EXPECT_EQ(RegistryTortuosity({91, 92}), "severe");
  EXPECT_EQ(RegistryTortuosity({121}), "severe");
  EXPECT_EQ(RegistryTortuosity({90}), "mild");
  EXPECT_EQ(RegistryTortuosity({}), "none");
  EXPECT_TRUE(SyntaxTortuositySevere({90}));
  EXPECT_TRUE(SyntaxTortuositySevere({45, 60, 80}));
  EXPECT_FALSE(SyntaxTortuositySevere({45, 60}));
}

TEST(Derive, GradesTortuosityAndKeepsUnknownApartFromNone) {
  EXPECT_EQ(Value(File(R"({"proximal_bends_deg": [75, 72]})"), "proximal_tortuosity"), "\"moderate\"");
  EXPECT_EQ(Value(File(R"({"proximal_bends_deg": []})"), "proximal_tortuosity"), "\"none\"");
  EXPECT_EQ(Value(File(R"({"proximal_bends_deg": "unseen"})"), "proximal_tortuosity"), "\"unseen\"");
  EXPECT_EQ(Value(File(R"({"tortuosity_seen": false})"), "proximal_tortuosity"), "\"unseen\"");
  EXPECT_EQ(Value(File("{}"), "proximal_tortuosity"), "null");
}

// Two bends of 90 +- sd: one above 90 with probability 1/2 each, so severe 1/4 (both), moderate or worse as computed.
TEST(Derive, CarriesTheSpreadOfTheBends) {
  const auto facts = WithDerived(File(R"({"proximal_bends_deg": [{"value": 90, "sd": 1}, {"value": 90, "sd": 1}]})"));
  const auto* grade = std::get_if<GradeOdds>(&BeliefOf(facts, {"proximal_tortuosity", ""}));
  ASSERT_NE(grade, nullptr);
  ASSERT_EQ(grade->odds.size(), 2U);
  EXPECT_EQ(grade->odds[0].first, "moderate");
  EXPECT_NEAR(grade->odds[0].second, 0.75, 1e-12);
  EXPECT_NEAR(grade->odds[1].second, 0.25, 1e-12);
}

// Every list of up to 3 bends on a grid of 0, 45, 70, 71, 90, 91, 120, 121 degrees: 1 + 8 + 64 + 512 = 585 cases.
TEST(Derive, AgreesWithThePlainRuleOnEveryListOfExactBends) {
  const std::vector<double> grid{0, 45, 70, 71, 90, 91, 120, 121};
  int cases = 0;
  const auto check = [&cases](const std::vector<double>& bends) {
    Numbers numbers;
    for (const double bend : bends) numbers.values.push_back({bend, std::nullopt});
    EXPECT_EQ(Value({{{"proximal_bends_deg", ""}, numbers}}, "proximal_tortuosity"),
              "\"" + std::string(RegistryTortuosity(bends)) + "\"");
    ++cases;
  };
  check({});
  for (const double a : grid) {
    check({a});
    for (const double b : grid) {
      check({a, b});
      for (const double c : grid) check({a, b, c});
    }
  }
  EXPECT_EQ(cases, 585);
}

// Certainty of three months: EuroIntervention 2007;3:30-43 (from memory), Circulation 2021;143:479-500.
TEST(CtoCertainty, FollowsTheEvidence) {
  using namespace std::chrono;
  EXPECT_EQ(CompletedMonths(2019y / 1 / 10, 2019y / 4 / 15), 3);
  EXPECT_EQ(CompletedMonths(2019y / 1 / 10, 2019y / 4 / 10), 3);
  EXPECT_EQ(CompletedMonths(2019y / 1 / 10, 2019y / 4 / 9), 2);
  EXPECT_EQ(CompletedMonths(2023y / 11 / 30, 2024y / 2 / 29), 3);
  EXPECT_EQ(CompletedMonths(2018y / 12 / 31, 2019y / 1 / 30), 0);
  const char* const kName = "cto_certainty";
  EXPECT_EQ(Value(File(R"({"timi_antegrade": "0", "same_occlusion_seen_months_ago": 3})"), kName), "\"definite\"");
  EXPECT_EQ(Value(File(R"({"timi_antegrade": "0", "dated_event_months_ago": 2})"), kName), "\"not_a_cto\"");
  EXPECT_EQ(Value(File(R"({"timi_antegrade": "0", "dated_event_months_ago": 5})"), kName), "\"probable\"");
  EXPECT_EQ(Value(File(R"({"timi_antegrade": "0", "mature_collaterals": true, "thrombus_at_cap": false})"), kName),
            "\"possible\"");
  EXPECT_EQ(Value(File(R"({"timi_antegrade": "0"})"), kName), "null");
  EXPECT_TRUE(Remarks(File(R"({"timi_antegrade": "0"})"), "mature_collaterals"));
  EXPECT_EQ(Value(File(R"({"timi_antegrade": "1", "same_occlusion_seen_months_ago": 60})"), kName), "\"not_a_cto\"");
}

TEST(Derive, FindsNoUsableCollateralOnlyAfterEveryDonorWasInjected) {
  const char* const kName = "interventional_collateral";
  EXPECT_EQ(Value(File(R"({"channels": {"c1": {"interventional": false}, "c2": {"interventional": true}}})"), kName),
            "true");
  EXPECT_EQ(Value(File(R"({"channels": {"c1": {"interventional": false}}})"), kName), "null");
  EXPECT_EQ(Value(File(R"({"all_donors_injected": true, "channels": {"c1": {"interventional": false}}})"), kName),
            "false");
  EXPECT_EQ(Value(File(R"({"all_donors_injected": true, "channels": {"c1": {"interventional": 0.5},
      "c2": {"interventional": 0.5}}})"),
                  kName),
            "0.75");
}

TEST(Derive, NamesTheStrategyByTheFarthestThatWasTried) {
  const char* const kName = "strategy_category";
  EXPECT_EQ(Value(File(R"({"attempted_adr": true, "attempted_rdr": true})"), kName), "\"retrograde\"");
  EXPECT_EQ(Value(File(R"({"attempted_adr": true, "attempted_rw": false, "attempted_rdr": false})"), kName),
            "\"dissection\"");
  EXPECT_EQ(Value(File(R"({"attempted_adr": true})"), kName), "null");
}

TEST(Contradictions, AreNamed) {
  EXPECT_TRUE(Contradictions({}).empty());
  EXPECT_TRUE(Remarks(File(R"({"calcium_ct_full_lumen": true, "calcium_ct_share": 0.4})"), "calcium_ct_share"));
  EXPECT_FALSE(Remarks(File(R"({"calcium_ct_full_lumen": true, "calcium_ct_share": 1})"), "calcium_ct_share"));
  EXPECT_TRUE(Remarks(File(R"({"prior_cabg": false, "graft_to_occluded_vessel": true})"), "graft_to_occluded_vessel"));
  EXPECT_TRUE(Remarks(File(R"({"length_ct_mm": 20, "length_angio_mm": 36})"), "length_ct_mm"));
  EXPECT_FALSE(Remarks(File(R"({"length_ct_mm": 20, "length_angio_mm": 35})"), "length_ct_mm"));
  EXPECT_TRUE(Remarks(File(R"({"cto_segment": "11", "occluded_vessel": "LAD"})"), "cto_segment"));
  EXPECT_TRUE(Remarks(File(R"({"previous_failed_attempts": 1})"), "last_attempt_months_ago"));
  EXPECT_TRUE(Remarks(File(R"({"timi_antegrade": "2"})"), "timi_antegrade"));
  EXPECT_TRUE(
      Remarks(File(R"({"channels": {"c1": {"collateral_channel": "septal", "corkscrew": true}}})"), "corkscrew"));
}

}  // namespace
}  // namespace fairlead
