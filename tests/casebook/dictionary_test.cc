// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <set>

#include "casebook/fact.h"

namespace fairlead {
namespace {

// Names, types and grades that scripts and other programs rely on; they may be added to, never changed.
struct Promised {
  std::string name;
  FactType type;
  std::vector<std::string> grades{};
};

const std::vector<Promised>& PromisedFacts() {
  using enum FactType;
  static const std::vector<Promised> facts{
      {"age_years", kCount},
      {"sex", kGrade, {"female", "male"}},
      {"prior_cabg", kFlag},
      {"prior_mi", kFlag},
      {"atrial_fibrillation", kFlag},
      {"heart_failure", kFlag},
      {"diabetes", kGrade, {"none", "non_insulin", "insulin", "unspecified"}},
      {"anaemia", kFlag},
      {"graft_to_occluded_vessel", kFlag},
      {"lvef_pct", kReading},
      {"egfr", kReading},
      {"occluded_vessel", kGrade, {"LAD", "LCX", "RCA", "LM", "graft"}},
      {"ostial", kFlag},
      {"proximal_cap_ambiguous", kFlag},
      {"side_branch_at_cap", kFlag},
      {"stump_angio", kGrade, {"tapered", "blunt", "none", "unseen"}},
      {"stump_ct", kGrade, {"tapered", "blunt", "none", "unseen"}},
      {"calcification_angio", kGrade, {"none", "mild", "moderate", "severe", "unseen"}},
      {"calcium_ct_share", kReading},
      {"calcium_ct_full_lumen", kFlag},
      {"length_angio_mm", kReading},
      {"length_ct_mm", kReading},
      {"bend_angio_deg", kReading},
      {"bend_ct_deg", kReading},
      {"proximal_tortuosity", kGrade, {"none", "mild", "moderate", "severe", "unseen"}},
      {"tortuosity_weighted_score", kFlag},
      {"previous_failed_attempts", kCount},
      {"interventional_collateral", kFlag},
      {"rentrop", kGrade, {"0", "1", "2", "3"}},
      {"distal_landing_zone_diseased", kFlag},
      {"collateral_cc_grade", kGrade, {"0", "1", "2"}},
      {"collateral_channel", kGrade, {"septal", "epicardial", "atrial", "ipsilateral", "graft"}},
      {"collateral_tortuous", kFlag},
      {"occlusion_count_ct", kCount},
      {"occlusion_duration_months", kReading},
      {"strategy_category", kGrade, {"antegrade", "dissection", "retrograde"}},
      {"hypotension", kFlag},
      {"balloon_pump", kFlag},
      {"contrast_ml", kReading}};
  return facts;
}

TEST(Dictionary, KeepsTheNamesTypesAndGradesThatOthersRelyOn) {
  for (const auto& promised : PromisedFacts()) {
    SCOPED_TRACE(promised.name);
    const FactRow* row = FindFact(promised.name);
    ASSERT_NE(row, nullptr);
    EXPECT_EQ(row->type, promised.type);
    EXPECT_EQ(std::vector<std::string>(row->grades.begin(), row->grades.end()), promised.grades);
  }
}

TEST(Dictionary, HoldsEveryFactThatTheScoresOnHoldAndThePlanNeed) {
  for (const auto* name : {"creatinine",
                           "haemoglobin",
                           "haematocrit",
                           "glucose",
                           "presentation",
                           "dialysis",
                           "smoker",
                           "cto_segment",
                           "native_or_graft",
                           "in_stent",
                           "timi_antegrade",
                           "proximal_bends_deg",
                           "tortuosity_seen",
                           "investment_last_attempt",
                           "dlz_diameter_mm",
                           "dlz_calcium",
                           "distal_cap_at_bifurcation",
                           "distal_opacification",
                           "donor_segment",
                           "recipient_segment",
                           "channel_diameter_mm",
                           "channel_length_mm",
                           "reverse_bend",
                           "continuous_bends",
                           "corkscrew",
                           "max_bend_deg",
                           "exit_angle_deg",
                           "interventional",
                           "periprocedural_bleeding",
                           "slow_flow",
                           "complex_anatomy",
                           "residual_stenosis_pct",
                           "timi_final",
                           "side_branch_result",
                           "perforation_class",
                           "perforation_location",
                           "perforation_treated",
                           "troponin_times_url",
                           "ck_mb_times_uln",
                           "operator_prior_cto_count",
                           "operator_cto_per_year",
                           "bridging_collaterals",
                           "side_branch_diameter_mm",
                           "course_clear",
                           "landing_zone_quality",
                           "distal_branch_diameter_mm",
                           "donor_vessel_diseased",
                           "donor_ostium_diseased",
                           "donor_is_graft",
                           "last_attempt_months_ago",
                           "last_attempt_failure",
                           "last_attempt_space_made"}) {
    EXPECT_NE(FindFact(name), nullptr) << name;
  }
}

TEST(Dictionary, NamesEachFactOnceAndDefinesIt) {
  std::set<std::string_view> names;
  for (const auto& row : Dictionary()) {
    SCOPED_TRACE(row.name);
    EXPECT_TRUE(names.insert(row.name).second);
    EXPECT_TRUE(
        std::ranges::all_of(row.name, [](char c) { return std::islower(c) != 0 || std::isdigit(c) != 0 || c == '_'; }));
    EXPECT_FALSE(row.label.empty());
    EXPECT_FALSE(row.definition.empty());
    EXPECT_NE(FindSource(row.source.id), nullptr);
    EXPECT_EQ(row.type == FactType::kGrade, !row.grades.empty());
    const bool number =
        row.type == FactType::kCount || row.type == FactType::kReading || row.type == FactType::kReadings;
    EXPECT_TRUE(!number || row.low < row.high);
    if (row.type == FactType::kGrade) {
      EXPECT_EQ(row.may_be_unseen, std::ranges::count(row.grades, "unseen") == 1);
    }
  }
}

TEST(Dictionary, ANumberNamedInAUnitIsInThatUnit) {
  const std::vector<std::pair<std::string, std::string>> endings{
      {"_mm", "mm"}, {"_deg", "deg"}, {"_ml", "mL"}, {"_pct", "%"}, {"_months", "months"}, {"_years", "years"}};
  for (const auto& row : Dictionary()) {
    for (const auto& [ending, unit] : endings) {
      EXPECT_TRUE(!row.name.ends_with(ending) || row.unit == unit) << row.name;
    }
  }
}

TEST(NearestFact, FindsTheNameThatWasMeant) {
  EXPECT_EQ(NearestFact("lenght_angio_mm"), "length_angio_mm");
  EXPECT_EQ(NearestFact("prior_cabgs"), "prior_cabg");
  EXPECT_EQ(NearestFact("length"), "length_ct_mm");  // a whole word of the name, not "height_cm", which is spelt alike
  EXPECT_FALSE(NearestFact("").empty());
  EXPECT_FALSE(NearestFact(std::string(100000, 'x')).empty());
}

TEST(FindFact, KnowsNoOtherName) {
  EXPECT_EQ(FindFact("length"), nullptr);
  EXPECT_EQ(FindFact(""), nullptr);
}

}  // namespace
}  // namespace fairlead
