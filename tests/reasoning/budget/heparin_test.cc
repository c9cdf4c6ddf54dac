// SPDX-License-Identifier: Apache-2.0
// Expected values: heparin_reference.R beside this file, run with R 4.2 (uniroot, optim, pnorm); the fall of 100 and 400
// IU/kg also with an 8th-order Runge-Kutta of the GNU Scientific Library.
#include "reasoning/budget/heparin.h"

#include <gtest/gtest.h>

#include <cmath>

namespace fairlead {
namespace {

// Chest 2012;141(2 Suppl):e24S-e43S.
TEST(Heparin, HasThePublishedHalfLives) {
  EXPECT_NEAR(HalfLife(25), 30.0, 1e-9);
  EXPECT_NEAR(HalfLife(100), 60.0, 1e-9);
  EXPECT_NEAR(HalfLife(400), 150.0, 1e-9);
  const HeparinKinetics kinetics = PublishedKinetics();
  EXPECT_NEAR(kinetics.km, 41.1764706, 5e-8);
  EXPECT_NEAR(kinetics.slow, 0.00135911212, 5e-12);
  EXPECT_NEAR(kinetics.vmax, 1.43905989, 5e-9);
}

TEST(Heparin, FallsAsTheDifferentialEquationSays) {
  struct Row { double from, minutes, left; };
  for (const Row& row : {Row{100, 0, 100}, {100, 10, 88.7037488}, {100, 20, 77.9454822}, {100, 30, 67.7674545}, {100, 45, 53.6926728},
                         {100, 60, 41.2039817}, {100, 90, 21.6314639}, {100, 120, 9.60373375}, {400, 30, 345.931443},
                         {400, 60, 294.639452}, {400, 120, 200.644319}})
    EXPECT_NEAR(AmountAfter(row.from, row.minutes), row.left, 1e-7 * row.from) << row.from << " " << row.minutes;
  EXPECT_NEAR(MinutesDownTo(100, 50), 49.2329947, 5e-8);
}

TEST(Heparin, TimeAndAmountAreInverse) {
  for (double from = 1e-3; from < 1500; from *= 3.1)
    for (double minutes = 0.01; minutes < 600; minutes *= 2.3) {
      const double left = AmountAfter(from, minutes);
      EXPECT_LT(left, from);
      EXPECT_GT(left, 0.0);
      EXPECT_NEAR(MinutesDownTo(from, left), minutes, 1e-9 * (1.0 + minutes)) << from << " " << minutes;
    }
  EXPECT_EQ(AmountAfter(0, 10), 0.0);
  EXPECT_EQ(MinutesDownTo(50, 60), 0.0);
}

HeparinCourse Course(std::vector<HeparinBolus> boluses, std::vector<ActSample> samples) {
  return {std::move(boluses), {}, std::move(samples), {1.6, 130.0, 0.0}};
}

void ExpectNear(const Quantiles& held, double p5, double p50, double p95, double part) {
  EXPECT_NEAR(held.p5, p5, part * p5);
  EXPECT_NEAR(held.p50, p50, part * p50);
  EXPECT_NEAR(held.p95, p95, part * p95);
}

// Quantiles of a grid are interpolated: half a per cent, and a quarter of a minute, is what two ways of doing so differ by.
constexpr double kPart = 0.005;

TEST(Heparin, BelievesThePriorBeforeAnySample) {
  const auto forecast = ForecastAct(Course({{0, 100}}, {}), 10, 250);
  ASSERT_TRUE(forecast);
  EXPECT_NEAR(forecast->log_slope, 0, 1e-6);
  ExpectNear(forecast->act_now, 215.3, 270.7, 361.9, kPart);
  ExpectNear(forecast->act_in_30, 174.0, 220.2, 292.5, kPart);
  ExpectNear(forecast->measured_in_30, 168.0, 220.6, 300.9, kPart);
  EXPECT_NEAR(forecast->below_now, 0.3000, 0.002);
  EXPECT_NEAR(forecast->below_in_15, 0.5634, 0.002);
  EXPECT_NEAR(forecast->below_in_30, 0.7829, 0.002);
  EXPECT_NEAR(forecast->minutes_to_target->p50, 11.4, 0.25);
  EXPECT_NEAR(forecast->minutes_to_target->p95, 56.1, 0.4);
  EXPECT_NEAR(forecast->top_up.p95, 35.3, 0.3);
}

TEST(Heparin, LearnsFromOneSample) {
  const auto forecast = ForecastAct(Course({{0, 100}}, {{10, 310}}), 10, 250);
  ASSERT_TRUE(forecast);
  EXPECT_NEAR(forecast->log_slope, 0.192182054, 1e-5);
  EXPECT_NEAR(forecast->log_rate, -0.0314568, 1e-5);
  ExpectNear(forecast->act_now, 267.4, 301.4, 340.4, kPart);
  ExpectNear(forecast->act_in_30, 200.5, 242.9, 283.1, kPart);
  ExpectNear(forecast->measured_in_30, 192.5, 242.2, 297.5, kPart);
  EXPECT_NEAR(forecast->below_in_30, 0.6187, 0.002);
  EXPECT_NEAR(forecast->minutes_to_target->p5, 8.6, 0.25);
  EXPECT_NEAR(forecast->minutes_to_target->p25, 17.8, 0.25);
  EXPECT_NEAR(forecast->minutes_to_target->p50, 25.8, 0.25);
  EXPECT_NEAR(forecast->minutes_to_target->p95, 55.9, 0.4);
}

TEST(Heparin, LearnsFromThreeSamplesAndASecondDose) {
  const auto two = ForecastAct(Course({{0, 100}}, {{10, 310}, {45, 232}}), 45, 250);
  ASSERT_TRUE(two);
  EXPECT_NEAR(two->log_slope, 0.188156303, 1e-5);
  EXPECT_NEAR(two->log_rate, 0.0023361, 1e-5);
  ExpectNear(two->act_now, 209.7, 233.9, 259.2, kPart);
  EXPECT_NEAR(two->top_up.p50, 8.5, 0.1);
  EXPECT_NEAR(two->top_up.p95, 22.6, 0.15);
  const auto three = ForecastAct(Course({{0, 100}, {46, 40}}, {{10, 310}, {45, 232}, {56, 318}}), 56, 250);
  ASSERT_TRUE(three);
  EXPECT_NEAR(three->log_slope, 0.216398514, 1e-5);
  EXPECT_NEAR(three->log_rate, -0.0797450, 1e-5);
  ExpectNear(three->act_now, 275.7, 300.2, 326.6, kPart);
  ExpectNear(three->act_in_30, 211.5, 246.8, 281.9, kPart);
  ExpectNear(three->measured_in_30, 201.6, 246.3, 297.5, kPart);
  EXPECT_NEAR(three->below_in_15, 0.1052, 0.002);
  EXPECT_NEAR(three->minutes_to_target->p25, 20.2, 0.25);
  EXPECT_NEAR(three->minutes_to_target->p75, 38.0, 0.3);
  EXPECT_NEAR(three->sample_due_min, 15.0, 1.0);
}

// 100 IU/kg seen from each time, with the median patient: the curve of the closed form.
TEST(Heparin, TheTypicalCurveIsTheClosedForm) {
  for (const auto& [minutes, act] : {std::pair{10.0, 271.925998}, {30.0, 238.427927}, {45.0, 215.908277}, {60.0, 195.926371}, {90.0, 164.610342}})
    EXPECT_NEAR(130 + 1.6 * AmountAfter(100, minutes), act, 1e-5);
}

TEST(Heparin, IgnoresASampleThatIsNotMixedAndJoinsTwoTakenTogether) {
  const auto early = ForecastAct(Course({{0, 100}}, {{2, 480}}), 10, 250);
  ASSERT_TRUE(early);
  EXPECT_EQ(early->too_early, 1);
  EXPECT_EQ(early->used, 0);
  EXPECT_NEAR(early->log_slope, 0, 1e-6);
  const auto joined = ForecastAct(Course({{0, 100}}, {{10, 300}, {12, 320}}), 15, 250);
  ASSERT_TRUE(joined);
  EXPECT_EQ(joined->misfit.size(), 1u);
}

TEST(Heparin, TakesAnOffScaleReadingAsALowerBound) {
  const auto high = ForecastAct(Course({{0, 150}}, {{10, 999, true}}), 15, 250);
  const auto none = ForecastAct(Course({{0, 150}}, {}), 15, 250);
  ASSERT_TRUE(high && none);
  EXPECT_GT(high->act_now.p50, none->act_now.p50);
  EXPECT_LT(high->act_now.p50, 700);  // not dragged to 999
  EXPECT_FALSE(high->suspect);
}

TEST(Heparin, SuspectsASampleThatNoPatientGives) {
  const auto odd = ForecastAct(Course({{0, 100}}, {{10, 300}, {20, 140}, {30, 290}}), 30, 250);
  ASSERT_TRUE(odd);
  EXPECT_TRUE(odd->suspect);
  const auto together = ForecastAct(Course({{0, 100}}, {{30, 100}, {31, 380}}), 40, 250);  // one blood, a minute apart
  const auto alike = ForecastAct(Course({{0, 100}}, {{30, 230}, {31, 250}}), 40, 250);
  ASSERT_TRUE(together && alike);
  EXPECT_TRUE(together->suspect);
  EXPECT_FALSE(alike->suspect);
}

TEST(Heparin, AnUnmeasuredBaselineWidensTheForecast) {
  HeparinCourse course = Course({{0, 100}}, {{10, 310}});
  const auto known = ForecastAct(course, 20, 250);
  course.scale.baseline_sd_s = 20;
  const auto unknown = ForecastAct(course, 20, 250);
  ASSERT_TRUE(known && unknown);
  EXPECT_GT(unknown->act_in_30.p95 - unknown->act_in_30.p5, known->act_in_30.p95 - known->act_in_30.p5);
  EXPECT_NEAR(unknown->act_now.p50, known->act_now.p50, 5);
}

TEST(Heparin, ADripIsTheSumOfItsMinutesAndGivesNoTimeToTarget) {
  HeparinCourse course = Course({{0, 70}}, {});
  course.drips = {{5, 1e9, 12.0 / 60.0}};
  const auto forecast = ForecastAct(course, 40, 250);
  ASSERT_TRUE(forecast);
  EXPECT_FALSE(forecast->minutes_to_target);
  // The differential equation by small steps, kappa = 1.
  double amount = 70;
  const HeparinKinetics k = PublishedKinetics();
  for (int step = 0; step < 400000; ++step) {
    const double t = step * 1e-4;
    amount += 1e-4 * ((t >= 5 ? 0.2 : 0.0) - amount * (k.vmax / (k.km + amount) + k.slow));
  }
  EXPECT_NEAR(forecast->per_kg_left, amount, 0.01 * amount);  // median over kappa against kappa = 1
}

TEST(Heparin, RefusesWhatCannotBe) {
  EXPECT_EQ(Sentence(ForecastAct(Course({}, {}), 10, 250).error()),
            "no heparin was given before that moment (heparin): give the first dose and its time");
  EXPECT_FALSE(ForecastAct(Course({{0, std::nan("")}}, {}), 10, 250));
  EXPECT_FALSE(ForecastAct(Course({{0, 100}}, {{5, -3}}), 10, 250));
  EXPECT_FALSE(ForecastAct(Course({{0, 100}}, {}), 10, 0));
}

TEST(Heparin, MoreHeparinNeverLowersTheForecast) {
  double last = 0;
  for (double dose = 40; dose < 200; dose += 20) {
    const auto forecast = ForecastAct(Course({{0, dose}}, {}), 20, 300);
    ASSERT_TRUE(forecast);
    EXPECT_GT(forecast->act_now.p50, last);
    last = forecast->act_now.p50;
  }
}

}  // namespace
}  // namespace fairlead
