// SPDX-License-Identifier: Apache-2.0
// Beside R on data sets of its packages. FAIRLEAD_R_DATA names the folder that packaged.R filled; the deep check does it.
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <map>

#include "practice/audit/calibration.h"
#include "practice/audit/count_law.h"
#include "practice/learning/survival.h"

namespace fairlead {
namespace {

class Packaged : public testing::Test {
 protected:
  void SetUp() override {
    const char* folder = std::getenv("FAIRLEAD_R_DATA");
    if (folder == nullptr) GTEST_SKIP() << "beside R only in the deep check: Rscript packaged.R DIR, then FAIRLEAD_R_DATA=DIR";
    folder_ = folder;
    std::ifstream in(folder_ + "/expected");
    std::string name;
    for (double value = 0; in >> name >> value;) expected_[name] = value;
    ASSERT_FALSE(expected_.empty());
  }
  double R(const std::string& name) const { return expected_.at(name); }
  std::string folder_;
  std::map<std::string, double> expected_;
};

TEST_F(Packaged, CalibrationOfPimaIsThatOfR) {
  std::vector<Judged> cases;
  std::ifstream in(folder_ + "/pima");
  double p = 0;
  for (int y = 0; in >> p >> y;) cases.push_back({p, y == 1});
  ASSERT_EQ(cases.size(), 332U);
  const auto large = CalibrationInTheLarge(cases), line = CalibrationLine(cases);
  EXPECT_NEAR(large->intercept, R("large"), 1e-9);
  EXPECT_NEAR(large->intercept_sd, R("large_sd"), 1e-9);
  EXPECT_NEAR(line->intercept, R("intercept"), 1e-9);
  EXPECT_NEAR(line->slope, R("slope"), 1e-9);
  EXPECT_NEAR(line->slope_sd, R("slope_sd"), 1e-9);
  EXPECT_NEAR(AreaUnderCurve(cases)->area, R("area"), 1e-10);
  EXPECT_NEAR(BrierScore(cases)->score, R("brier"), 1e-10);
  EXPECT_NEAR(CountLaw(ClassesOf(cases)).AtLeast(100), R("at_least_100"), 1e-10);
}

TEST_F(Packaged, CompetingEndsOfMgus2AreThoseOfR) {
  std::vector<Trial> trials;
  std::ifstream in(folder_ + "/mgus2");
  double time = 0;
  for (int end = 0; in >> time >> end;) trials.push_back({time, end == 1 ? Ending::kCrossed : end == 2 ? Ending::kComplication : Ending::kStopped});
  ASSERT_EQ(trials.size(), 1384U);
  const auto steps = SurvivalSteps(trials);
  for (const int t : {60, 120, 240, 360}) {
    const SurvivalStep step = StepAt(steps, t);
    const std::string at = std::to_string(t);
    EXPECT_NEAR(step.still, R("still_" + at), 1e-9) << t;
    EXPECT_NEAR(step.crossed_by, R("first_" + at), 1e-9) << t;
    EXPECT_NEAR(step.complicated_by, R("second_" + at), 1e-9) << t;
  }
  const SurvivalStep step = StepAt(steps, 120);
  EXPECT_NEAR(step.kaplan_meier, R("km_120"), 1e-9);
  EXPECT_NEAR(step.low, R("km_low_120"), 1e-7);
  EXPECT_NEAR(step.high, R("km_high_120"), 1e-7);
}

}  // namespace
}  // namespace fairlead
