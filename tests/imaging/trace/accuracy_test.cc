// SPDX-License-Identifier: Apache-2.0
// A few of the phantom runs whose large number docs/methods-trace.md reports: enough to see that something broke.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/imaging/trace/trial.h"
#include "tests/slowed.h"

namespace fairlead {
namespace {

struct Runs {
  std::vector<double> errors, in_sds, off;  // |error| mm, |error| / stated sd, distance from the course
  double sum = 0.0;
};

double Middle(std::vector<double>& v) {
  std::sort(v.begin(), v.end());
  return v[v.size() / 2];
}

Runs Traced(Grade grade) {
  Runs runs;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const auto result = RunTrial({grade, seed, false, 1.0});
    if (!result) continue;
    runs.off.insert(runs.off.end(), result->off_course_mm.begin(), result->off_course_mm.end());
    for (const SampleError& e : result->samples) {
      if (!e.alone || e.true_mm < 1.0 || e.true_mm > 4.0) continue;
      runs.sum += e.error_mm;
      runs.errors.push_back(std::abs(e.error_mm)), runs.in_sds.push_back(std::abs(e.error_mm) / e.stated_mm);
    }
  }
  return runs;
}

// Of a normal error half is within 0.67 sd.
TEST(Accuracy, OfCleanPhantomRunsIsAsStated) {
  if (kSlowed) GTEST_SKIP() << "the other tests walk the same code; a minute of statistics shows a sanitizer nothing new";
  Runs runs = Traced(Grade::kClean);
  ASSERT_GT(runs.errors.size(), 80u);
  EXPECT_LT(Middle(runs.errors), 0.065);
  EXPECT_LT(std::abs(runs.sum / static_cast<double>(runs.errors.size())), 0.04);
  EXPECT_GT(Middle(runs.in_sds), 0.67 / 2.0);
  EXPECT_LT(Middle(runs.in_sds), 0.67 * 2.0);
  EXPECT_LT(Middle(runs.off), 0.15);
}

TEST(Accuracy, OfTypicalPhantomRunsIsAsStated) {
  if (kSlowed) GTEST_SKIP() << "the other tests walk the same code; a minute of statistics shows a sanitizer nothing new";
  Runs runs = Traced(Grade::kTypical);
  ASSERT_GT(runs.errors.size(), 80u);
  EXPECT_LT(Middle(runs.errors), 0.09);
  EXPECT_LT(std::abs(runs.sum / static_cast<double>(runs.errors.size())), 0.06);
  EXPECT_GT(Middle(runs.in_sds), 0.67 / 2.0);
  EXPECT_LT(Middle(runs.in_sds), 0.67 * 2.0);
  EXPECT_LT(Middle(runs.off), 0.3);
}

}  // namespace
}  // namespace fairlead
