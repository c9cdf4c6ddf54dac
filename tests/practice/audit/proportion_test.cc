// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/proportion.h"

#include <gtest/gtest.h>

#include <cmath>

#include "practice/audit/laws.h"

namespace fairlead {
namespace {

struct Row { std::int64_t x, n; double exact[2], wilson[2], jeffreys[2], mid_p[2]; };
// R 4.2: qbeta for exact and Jeffreys, prop.test without correction for Wilson, uniroot for mid-P (reference.R).
constexpr Row kRows[] = {
    {0, 10, {0, .308497}, {0, .277533}, {0, .217196}, {0, .258866}},
    {1, 10, {.002529, .445016}, {.017876, .404150}, {.011012, .381315}, {.005001, .403476}},
    {2, 30, {.008178, .220735}, {.018477, .213235}, {.014112, .197094}, {.011332, .203232}},
    {3, 100, {.006230, .085176}, {.010255, .084519}, {.008520, .077888}, {.007687, .079455}},
    {9, 10, {.554984, .997471}, {.595850, .982124}, {.618685, .988988}, {.596524, .994999}},
    {10, 10, {.691503, 1}, {.722467, 1}, {.782804, 1}, {.741134, 1}},
    {46, 810, {.041874, .075027}, {.042844, .074920}, {.042408, .074331}, {.042365, .074379}},
};

TEST(Proportion, AgreesWithRToTheDigitsItPrints) {
  constexpr double kPrinted = 6e-7;
  for (const Row& row : kRows) {
    const Count count{row.x, row.n};
    const std::pair<Result<Interval>, const double*> all[] = {{ExactInterval(count), row.exact}, {WilsonInterval(count), row.wilson},
                                                              {JeffreysInterval(count), row.jeffreys}, {MidPInterval(count), row.mid_p}};
    for (const auto& [found, wanted] : all) {
      ASSERT_TRUE(found.ok());
      EXPECT_NEAR(found->low, wanted[0], kPrinted) << row.x << "/" << row.n;
      EXPECT_NEAR(found->high, wanted[1], kPrinted) << row.x << "/" << row.n;
    }
  }
}

TEST(Proportion, GivesTheClosedFormWhereNothingHappened) {
  for (const std::int64_t n : {1, 7, 30, 500}) {  // 1 - (alpha / 2)^(1 / n)
    EXPECT_NEAR(ExactInterval({0, n})->high, 1 - std::pow(0.025, 1.0 / static_cast<double>(n)), 1e-12);
    EXPECT_EQ(WilsonInterval({0, n})->low, 0);
  }
}

TEST(Proportion, MirrorsItselfAndHoldsTheShare) {
  for (std::int64_t n = 1; n <= 40; n += 3) {
    for (std::int64_t x = 0; x <= n; ++x) {
      for (const auto method : {ExactInterval, WilsonInterval, JeffreysInterval, MidPInterval}) {
        const auto here = method({x, n}), mirror = method({n - x, n});
        ASSERT_TRUE(here.ok() && mirror.ok());
        EXPECT_NEAR(here->low, 1 - mirror->high, 1e-9);
        const double share = static_cast<double>(x) / static_cast<double>(n);
        EXPECT_LE(here->low, share);
        EXPECT_GE(here->high, share);
      }
    }
  }
}

// True coverage, summed over the whole law: exact never covers less than it says.
TEST(Proportion, ExactNeverCoversLessThanItSays) {
  for (const double p : {0.01, 0.03, 0.2, 0.5}) {
    for (const std::int64_t n : {10, 30, 100}) {
      double covered = 0;
      for (std::int64_t x = 0; x <= n; ++x) {
        const auto interval = ExactInterval({x, n});
        if (interval->low <= p && p <= interval->high) covered += BinomialPmf(x, n, p);
      }
      EXPECT_GE(covered, 0.95) << p << " " << n;
    }
  }
}

TEST(Proportion, RefusesWhatCannotBeCounted) {
  EXPECT_FALSE(WilsonInterval({0, 0}).ok());
  EXPECT_FALSE(ExactInterval({4, 3}).ok());
  EXPECT_FALSE(MidPInterval({-1, 3}).ok());
}

}  // namespace
}  // namespace fairlead
