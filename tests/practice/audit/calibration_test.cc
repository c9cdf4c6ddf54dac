// SPDX-License-Identifier: Apache-2.0
// Expected values: R 4.2 (glm; reference.R); the area's variance by package pROC.
#include "practice/audit/calibration.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "practice/audit/laws.h"
#include "tests/practice/audit/logs.h"

namespace fairlead {
namespace {

TEST(Calibration, AgreesWithGlmOnSixtyAttempts) {
  const auto cases = SixtyAttempts();
  const auto large = CalibrationInTheLarge(cases), line = CalibrationLine(cases);
  ASSERT_TRUE(large.ok() && line.ok());
  EXPECT_NEAR(large->intercept, 0.4155286485, 1e-8);
  EXPECT_NEAR(large->intercept_sd, 0.3261750867, 1e-7);
  EXPECT_NEAR(line->intercept, 0.4690247119, 1e-7);
  EXPECT_NEAR(line->slope, 1.034677808, 1e-7);
  EXPECT_NEAR(line->intercept_sd / 0.8414193516, 1, 1e-4);
  EXPECT_NEAR(line->slope_sd / 0.5040788816, 1, 1e-4);
}

TEST(Calibration, MovesThePublishedModelAsFarAsTheCasesCarry) {
  const auto line = Recalibrate(SixtyAttempts());
  ASSERT_TRUE(line.ok());
  EXPECT_NEAR(line->intercept, 0.2226143604, 1e-8);
  EXPECT_NEAR(line->slope, 0.9378367774, 1e-8);
  EXPECT_NEAR(line->intercept_sd, 0.3467232302, 1e-8);
  EXPECT_NEAR(line->slope_sd, 0.1938653068, 1e-8);
  EXPECT_NEAR(line->correlation, 0.6014629558, 1e-8);
  const double moved[] = {.04576463023, .1109844928, .1795535728, .3232377556};
  for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(Move(*line, kFailureOfClass[i]).moved, moved[i], 1e-9);
}

TEST(Calibration, LearnsNoSlopeFromFewEvents) {
  auto cases = SixtyAttempts();
  cases.resize(20);
  const auto line = Recalibrate(cases);  // 8 events
  ASSERT_TRUE(line.ok());
  EXPECT_EQ(line->slope, 1);
  EXPECT_EQ(line->slope_sd, 0);
}

TEST(Calibration, StaysFiniteWhenTheOutcomesAreSorted) {
  std::vector<Judged> sorted;
  for (int i = 0; i < 40; ++i) sorted.push_back({0.01 + 0.02 * i, i >= 20});
  EXPECT_FALSE(CalibrationLine(sorted).ok());
  EXPECT_TRUE(Recalibrate(sorted).ok());
  const std::vector<Judged> none(30, Judged{0.1, false});
  EXPECT_FALSE(CalibrationInTheLarge(none).ok());
  EXPECT_TRUE(Recalibrate(none).ok());
}

// Cases drawn from a moved model give the move back, within its stated spread.
TEST(Calibration, FindsAKnownMoveWithinItsSpread) {
  std::mt19937_64 random(11);
  const auto uniform = [&random] { return static_cast<double>(random() >> 11) * 0x1p-53; };
  int inside = 0;
  constexpr int kSeries = 200;
  for (int series = 0; series < kSeries; ++series) {
    std::vector<Judged> cases;
    for (int i = 0; i < 400; ++i) {
      const double p = 0.03 + 0.4 * uniform();
      cases.push_back({p, uniform() < Logistic(0.3 + 0.8 * Logit(p))});
    }
    const auto line = CalibrationLine(cases);
    ASSERT_TRUE(line.ok());
    inside += std::abs(line->slope - 0.8) < kZ95 * line->slope_sd ? 1 : 0;
  }
  EXPECT_GE(inside, 180);  // 190 expected, sd 3.1
}

// R 4.2, reference.R: glm(cbind(e, n - e) ~ x + I(x^2)) and predict(se.fit = TRUE).
TEST(Smooth, AgreesWithGlmAlongTheCurve) {
  const JudgedClass classes[] = {{0.030, 60, 3}, {0.079, 90, 5}, {0.135, 80, 12}, {0.264, 70, 22}};
  const auto curve = SmoothCalibration(classes);
  ASSERT_EQ(curve.size(), 33U);
  const double truth[4][4] = {{0.03, 0.0439997676676, 0.0137079056426, 0.1322547982966},
                              {0.0885, 0.0818223037460, 0.0489380614149, 0.1336970331378},
                              {0.147, 0.1412882324661, 0.0922754533927, 0.2103030258337},
                              {0.264, 0.321418145303, 0.223702071941, 0.437748881537}};
  for (int i = 0; i < 4; ++i) {
    const SmoothPoint& point = curve[i == 3 ? 32 : static_cast<std::size_t>(8 * i)];
    EXPECT_NEAR(point.published, truth[i][0], 1e-12);
    EXPECT_NEAR(point.found, truth[i][1], 1e-8);
    EXPECT_NEAR(point.interval.low, truth[i][2], 1e-6);
    EXPECT_NEAR(point.interval.high, truth[i][3], 1e-6);
  }
}

TEST(Smooth, DrawsNoCurveThroughFewCases) {
  const JudgedClass few[] = {{0.030, 50, 3}, {0.079, 40, 5}, {0.135, 80, 12}};
  EXPECT_TRUE(SmoothCalibration(few).empty());
  const JudgedClass two[] = {{0.030, 500, 30}, {0.079, 400, 50}};
  EXPECT_TRUE(SmoothCalibration(two).empty());
}

TEST(Learning, AgreesWithGlm) {
  const auto line = LearningLine(SixtyAttempts());
  ASSERT_TRUE(line.ok());
  EXPECT_NEAR(line->intercept, -0.2943928682, 1e-7);
  EXPECT_NEAR(line->slope, 2.036530356, 1e-7);
  EXPECT_NEAR(line->slope_sd / 1.263961793, 1, 1e-4);  // glm stops earlier than we do
  EXPECT_NEAR(line->deviance, 54.96521674, 1e-7);
}

TEST(Discrimination, AgreesWithPlacementValues) {
  const auto found = AreaUnderCurve(SixtyAttempts());
  ASSERT_TRUE(found.ok());
  EXPECT_NEAR(found->area, 0.7029459902, 1e-9);
  EXPECT_NEAR(found->sd, 0.08121854708, 1e-9);
}

TEST(Discrimination, CountsEveryPairOnceAndTiesHalf) {
  std::mt19937_64 random(3);
  std::vector<Judged> cases;
  for (int i = 0; i < 60; ++i) cases.push_back({static_cast<double>(random() % 12) / 12, random() % 3 == 0});
  double wins = 0, pairs = 0;
  for (const Judged& a : cases) {
    for (const Judged& b : cases) {
      if (!a.happened || b.happened) continue;
      pairs += 1, wins += a.expected > b.expected ? 1 : a.expected == b.expected ? 0.5 : 0;
    }
  }
  EXPECT_NEAR(AreaUnderCurve(cases)->area, wins / pairs, 1e-12);
}

TEST(Discrimination, GivesNoIntervalAtPerfectSeparationAndNothingFromFewEvents) {
  std::vector<Judged> cases;
  for (int i = 0; i < 20; ++i) cases.push_back({i < 10 ? 0.1 : 0.6, i >= 10});
  EXPECT_TRUE(AreaUnderCurve(cases)->perfect);
  EXPECT_FALSE(AreaUnderCurve(std::span(cases).subspan(6, 8)).ok());
}

TEST(Brier, IsTheMeanSquaredErrorAndItsYardsticks) {
  const auto brier = BrierScore(SixtyAttempts());
  ASSERT_TRUE(brier.ok());
  EXPECT_NEAR(brier->score, 0.1576609167, 1e-9);
  EXPECT_NEAR(brier->expected, 7.515345 / 60, 1e-9);
  EXPECT_FALSE(BrierScore(std::span<const Judged>()).ok());
}

TEST(Groups, CutTheCasesEvenlyAndLoseNone) {
  const auto groups = CalibrationGroups(SixtyAttempts(), 4);
  std::int64_t cases = 0, events = 0;
  double expected = 0;
  for (const auto& group : groups) cases += group.cases, events += group.events, expected += group.expected;
  EXPECT_EQ(cases, 60);
  EXPECT_EQ(events, 13);
  EXPECT_NEAR(expected, 9.485, 1e-9);
  EXPECT_EQ(groups[0].cases, 15);
}

}  // namespace
}  // namespace fairlead
