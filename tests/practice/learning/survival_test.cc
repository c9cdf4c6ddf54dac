// SPDX-License-Identifier: Apache-2.0
#include "practice/learning/survival.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/practice/learning/log32.h"
#include "tests/practice/learning/melanoma.h"

namespace fairlead {
namespace {

// survfit of R's survival package, conf.type "log-log", complication and stop censored.
TEST(SurvivalSteps, GiveTheKaplanMeierOfR) {
  struct Row { double t; int at_risk; double s, low, high; };
  const auto steps = SurvivalSteps(Hard());
  for (const Row& row : {Row{2.5, 16, .9375, .632345, .990953}, Row{8, 15, .875, .585981, .967189}, Row{9, 14, .8125, .524604, .935352}, Row{10.5, 13, .75, .463430, .897980},
                         Row{13.5, 11, .681818, .395255, .853828}, Row{15, 10, .613636, .332513, .805255}, Row{22.5, 6, .511364, .225808, .739136}}) {
    const SurvivalStep step = StepAt(steps, row.t);
    EXPECT_EQ(step.at_risk, row.at_risk);
    EXPECT_NEAR(step.kaplan_meier, row.s, 1e-6);
    EXPECT_NEAR(step.low, row.low, 1e-6);
    EXPECT_NEAR(step.high, row.high, 1e-6);
  }
}

// survfit of R's survival package with two competing ends.
TEST(SurvivalSteps, GiveTheAalenJohansenOfR) {
  struct Row { double t, still, crossed, complicated; };
  const auto steps = SurvivalSteps(Hard());
  for (const Row& row : {Row{10, .8125, .1875, 0}, Row{20, .5625, .375, .0625}, Row{30, .46875, .46875, .0625}, Row{40, .3515625, .46875, .1796875}}) {
    const SurvivalStep step = StepAt(steps, row.t);
    EXPECT_NEAR(step.still, row.still, 1e-12);
    EXPECT_NEAR(step.crossed_by, row.crossed, 1e-12);
    EXPECT_NEAR(step.complicated_by, row.complicated, 1e-12);
  }
}

// Cumulative incidence by R's cmprsk on a published data set.
TEST(SurvivalSteps, GiveThePublishedMelanomaIncidence) {
  const auto steps = SurvivalSteps(Melanoma(true));
  struct Row { double t, died, otherwise; };
  for (const Row& row : {Row{1000, .1274571360, .0342670852}, Row{2000, .2301396344, .0504564445}, Row{3000, .309620166, .058111429}, Row{4000, .338717509, .105947064}}) {
    EXPECT_NEAR(StepAt(steps, row.t).crossed_by, row.died, 1e-9);
    EXPECT_NEAR(StepAt(steps, row.t).complicated_by, row.otherwise, 1e-9);
  }
}

// Without censoring the share is a plain proportion, with its binomial deviation.
TEST(SurvivalSteps, AreAPlainShareWithoutCensoring) {
  std::vector<Trial> trials;
  for (int i = 1; i <= 20; ++i) trials.push_back({static_cast<double>(i), i % 4 == 0 ? Ending::kComplication : Ending::kCrossed});
  const SurvivalStep step = StepAt(SurvivalSteps(trials), 10.0);
  EXPECT_NEAR(step.crossed_by, 8.0 / 20, 1e-12);
  EXPECT_NEAR(step.complicated_by, 2.0 / 20, 1e-12);
  EXPECT_NEAR(step.crossed_sd, std::sqrt(0.4 * 0.6 / 20), 1e-12);
}

TEST(SurvivalSteps, AddUpToOneAndNeverGoBack) {
  SurvivalStep before;
  for (const SurvivalStep& step : SurvivalSteps(Both())) {
    EXPECT_NEAR(step.still + step.crossed_by + step.complicated_by, 1.0, 1e-12);
    EXPECT_GE(step.crossed_by, before.crossed_by);
    EXPECT_LE(step.kaplan_meier, before.kaplan_meier);
    EXPECT_LE(step.crossed_by, 1.0 - step.kaplan_meier + 1e-12);  // complications only take away
    before = step;
  }
  EXPECT_TRUE(SurvivalSteps({}).empty());
  EXPECT_TRUE(SurvivalSteps({{5, Ending::kStopped}}).empty());
}

}  // namespace
}  // namespace fairlead
