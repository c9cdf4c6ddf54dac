// SPDX-License-Identifier: Apache-2.0
#include "reasoning/budget/budget.h"

#include <gtest/gtest.h>

#include <cmath>

#include "reasoning/budget/anticoagulation.h"
#include "tests/casebook/run/typed.h"

namespace fairlead {
namespace {

RunPatient Patient() {
  RunPatient patient;
  patient.weight_kg = 80;
  patient.egfr = 53.40;
  patient.clearance = 53.97;
  return patient;
}

// 60 mL in three jumps of 10, 20, 30 within twenty minutes: 3 mL/min, relative spread sqrt(1400) / 60.
TEST(Budget, TheRecentRateIsThatOfACompoundPoissonProcess) {
  const RunState run = RunOfLines({"10:00 contrast =100", "10:05 contrast +10", "10:10 contrast +20", "10:15 contrast +30"});
  const auto rate = RecentRate(run.contrast, Clock("10:20"));
  ASSERT_TRUE(rate);
  EXPECT_NEAR(rate->per_min.mid, 3.0, 1e-12);
  EXPECT_NEAR(std::log(rate->per_min.high / rate->per_min.mid), 1.6448536269514722 * std::sqrt(1400.0) / 60.0, 1e-12);
  EXPECT_FALSE(rate->prior);
  EXPECT_FALSE(RecentRate(RunOfLines({"10:00 contrast =100", "10:05 contrast +10"}).contrast, Clock("10:20")));
}

// Air kerma 3.2 Gy rising by 25 mGy a minute reaches 5 Gy in 72 min.
TEST(Budget, AKermaAtASteadySlopeReachesItsLimitWhenArithmeticSays) {
  const RunState run = RunOfLines({"10:00 access femoral", "10:00 ak 2.7", "10:05 ak 2.825", "10:10 ak 2.95", "10:15 ak 3.075", "10:20 ak 3.2"});
  RunLimits limits;
  limits.reserve.air_kerma_gy = 0;
  const RunBudgets budgets = BudgetsOf(run, Patient(), limits, Clock("10:20"));
  EXPECT_NEAR(budgets.air_kerma.minutes_left->mid, 72, 1e-9);
  EXPECT_LT(budgets.air_kerma.minutes_left->low, 72);
  EXPECT_GT(budgets.air_kerma.minutes_left->high, 72);
  EXPECT_EQ(budgets.air_kerma.band, 1);
}

TEST(Budget, TheReserveIsHeldBackFromEachLimit) {
  const RunState run = RunOfLines({"10:00 access femoral", "10:30 contrast =100", "10:40 ak 2"});
  const RunBudgets budgets = BudgetsOf(run, Patient(), {}, Clock("11:00"));
  EXPECT_NEAR(*budgets.time.left, 180 - 45 - 60, 1e-12);
  EXPECT_NEAR(*budgets.contrast.left, 3.7 * 53.40 - 60 - 100, 1e-9);
  EXPECT_NEAR(*budgets.air_kerma.left, 5 - 0.8 - 2, 1e-12);
  EXPECT_TRUE(budgets.contrast.rate->prior);
  EXPECT_EQ(budgets.contrast.limit_says, "3.7 x kidney function 53");
  EXPECT_NEAR(*budgets.contrast_to_kidney, 100 / 53.40, 1e-12);
}

TEST(Budget, BandsBeginAtTwoThreeAndThreePointSeven) {
  for (const auto& [ml, band] : {std::pair{"106", 0}, {"107", 1}, {"161", 2}, {"198", 3}}) {
    const RunState run = RunOfLines({std::string("10:00 contrast =") + ml});
    EXPECT_EQ(BudgetsOf(run, Patient(), {}, Clock("10:10")).contrast.band, band) << ml;
  }
}

TEST(Budget, NoRatioInDialysisAndNoneWithoutKidneyFunction) {
  RunPatient patient = Patient();
  patient.dialysis = true;
  const RunState run = RunOfLines({"10:00 contrast =300"});
  EXPECT_FALSE(BudgetsOf(run, patient, {}, Clock("10:10")).contrast.limit);
  patient = {};
  const Budget unknown = BudgetsOf(run, patient, {}, Clock("10:10")).contrast;
  EXPECT_FALSE(unknown.limit);
  EXPECT_EQ(unknown.limit_says, "kidney function is not known");
}

TEST(Budget, EarlierVisitsCountForAWeekAndForSixtyDays) {
  const RunState run = RunOfLines({"08:00 prior 120mL 1.5Gy 3d", "08:00 prior 200mL 2Gy 30d", "08:00 prior 90mL 4Gy 90d", "10:00 access femoral"});
  const RunBudgets budgets = BudgetsOf(run, Patient(), {}, Clock("10:10"));
  EXPECT_EQ(budgets.earlier_contrast_ml, 120);
  EXPECT_EQ(budgets.earlier_kerma_gy, 3.5);
}

TEST(Anticoagulation, TheTargetIsTheAnalysersAndTheRoutes) {
  const RunState antegrade = RunOfLines({"10:00 start AW", "10:05 act 285"});
  EXPECT_EQ(AnticoagulationOf(antegrade, Patient(), {}, Clock("10:10")).target_s, 300);
  const RunState retrograde = RunOfLines({"10:00 start RW", "10:05 act 285 L"});
  const Anticoagulation low = AnticoagulationOf(retrograde, Patient(), {}, Clock("10:10"));
  EXPECT_EQ(low.analyser, 'L');
  EXPECT_EQ(low.target_s, 300);
  EXPECT_EQ(low.bands.upper_s, 350);
  EXPECT_TRUE(AnticoagulationOf(RunOfLines({"10:00 act 280 H", "10:20 act 260 L"}), Patient(), {}, Clock("10:30")).analyser_changed);
}

TEST(Anticoagulation, TheReturnDoseIsOffUntilTheLabSwitchesItOnAndNeverWhileAHoleIsOpen) {
  const std::vector<std::string> lines = {"10:00 hep 8000", "10:10 act 300", "10:45 act 232"};
  RunLimits limits;
  Anticoagulation held = AnticoagulationOf(RunOfLines(lines), Patient(), limits, Clock("10:46"));
  EXPECT_FALSE(held.return_iu);
  EXPECT_EQ(held.no_return, "the lab has not switched it on");
  limits.show_return_dose = true;
  held = AnticoagulationOf(RunOfLines(lines), Patient(), limits, Clock("10:46"));
  ASSERT_TRUE(held.return_iu);
  EXPECT_LE(held.return_iu->low, held.return_iu->mid);
  EXPECT_EQ(std::fmod(held.return_iu->high, 500.0), 0.0);
  auto holed = lines;
  holed.emplace_back("10:46 perforation II distal wire");
  held = AnticoagulationOf(RunOfLines(holed), Patient(), limits, Clock("10:47"));
  EXPECT_FALSE(held.return_iu);
  EXPECT_EQ(held.no_return, "a perforation, tamponade or bleed is open: the question is reversal");
  EXPECT_EQ(AnticoagulationOf(RunOfLines(lines), Patient(), limits, Clock("11:40")).no_return, "the last ACT is older than 45 min");
  EXPECT_EQ(AnticoagulationOf(RunOfLines(lines), {}, limits, Clock("10:46")).no_return, "the weight is not known");
}

TEST(Anticoagulation, FlushHeparinCounts) {
  const Anticoagulation held = AnticoagulationOf(RunOfLines({"10:00 hep 8000", "10:01 hep 1000 flush"}), Patient(), {}, Clock("10:10"));
  EXPECT_EQ(held.units, 9000);
  const auto course = CourseOf(RunOfLines({"10:00 hep 8000", "10:01 hep 1000 flush"}), Patient(), {});
  EXPECT_EQ(course->course.boluses.size(), 2u);
}

TEST(Anticoagulation, AnActBeforeHeparinIsTheBaseline) {
  const auto course = CourseOf(RunOfLines({"09:50 act 128", "10:00 hep 8000", "10:10 act 300"}), Patient(), {});
  EXPECT_EQ(course->course.scale.baseline_s, 128);
  EXPECT_EQ(course->course.scale.baseline_sd_s, 0);
  EXPECT_EQ(course->course.samples.size(), 1u);
}

TEST(Limits, AreReadAndRefused) {
  const auto limits = RunLimitsFromJson(R"({"minutes": 150, "act": {"analyser": "L", "H": {"upper_s": 380}, "show_return_dose": true}, "reserve": {"contrast_ml": 80}})");
  ASSERT_TRUE(limits);
  EXPECT_EQ(limits->minutes, 150);
  EXPECT_EQ(limits->analyser, 'L');
  EXPECT_EQ(limits->high.upper_s, 380);
  EXPECT_EQ(limits->high.antegrade_s, 300);
  EXPECT_EQ(limits->reserve.contrast_ml, 80);
  EXPECT_TRUE(limits->show_return_dose);
  EXPECT_EQ(Sentence(RunLimitsFromJson(R"({"minuts": 150})").error()), "there is no member \"minuts\" (limits): correct the lab's limits");
  EXPECT_EQ(Sentence(RunLimitsFromJson(R"({"minutes": -1})").error()), "this number cannot be (limits.minutes): correct the lab's limits");
  EXPECT_FALSE(RunLimitsFromJson("[]"));
  EXPECT_FALSE(RunLimitsFromJson("{"));
}

TEST(Patient, ComesFromFactsAndBloodResults) {
  const State state = Fold(Typed({"08:00 fact age_years 72", "08:00 fact sex male", "08:00 fact creatinine 1.2", "08:00 fact weight_kg 80", "09:00 lab 1.4mg/dL"}));
  const RunPatient patient = PatientOf(state, StandingFacts(state), RunOf(state));
  EXPECT_NEAR(*patient.egfr, 53.40, 0.005);
  EXPECT_NEAR(*patient.clearance, 53.97, 0.005);
  EXPECT_EQ(patient.creatinine_at, Clock("09:00"));
  EXPECT_FALSE(patient.dialysis);
}

}  // namespace
}  // namespace fairlead
