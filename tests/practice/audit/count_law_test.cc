// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/count_law.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "measure/random.h"
#include "practice/audit/laws.h"

namespace fairlead {
namespace {

// Twenty unequal chances of complications; R 4.2 with the package PoissonBinomial (direct convolution), 10 digits.
constexpr double kTwenty[] = {.02, .05, .01, .03, .10, .04, .02, .08, .03, .06, .015, .025, .05, .12, .02, .03, .04, .01, .07, .02};

TEST(CountLaw, GivesTheLawOfUnequalChances) {
  const CountLaw law(ClassesOf(std::span<const double>(kTwenty)));
  EXPECT_NEAR(law.Exactly(0), 0.4198017346, 1e-10);
  EXPECT_NEAR(law.Exactly(1), 0.3768199122, 1e-10);
  EXPECT_NEAR(law.Exactly(2), 0.1559201804, 1e-10);
  EXPECT_NEAR(law.AtLeast(3), 0.04745817281, 1e-11);
}

// Analytic: one class is a binomial law, and two of one chance are one of both.
TEST(CountLaw, OfOneChanceIsBinomial) {
  const ChanceClass whole[] = {{0.135, 1000}}, parts[] = {{0.135, 300}, {0.135, 700}};
  const CountLaw one(whole), two(parts);
  for (const std::int64_t k : {0, 90, 135, 136, 200, 999, 1000}) {
    EXPECT_NEAR(one.AtMost(k), BinomialCdf(k, 1000, 0.135), 1e-12) << k;
    EXPECT_NEAR(two.AtMost(k), one.AtMost(k), 1e-12) << k;
    EXPECT_NEAR(one.AtMost(k) + one.AtLeast(k + 1), 1, 1e-12) << k;
  }
  EXPECT_EQ(one.Quantile(0.025), BinomialQuantile(0.025, 1000, 0.135));
}

// Against the plain convolution of every case, far into the tails.
TEST(CountLaw, OfFourClassesIsThePlainConvolution) {
  SeededRandom random(11);
  for (int round = 0; round < 5; ++round) {
    const double p[] = {0.030, 0.079, 0.135, 0.264};
    std::vector<double> chances;
    for (int i = 0; i < 900; ++i) chances.push_back(p[static_cast<std::size_t>(4 * random.Share())]);
    const auto plain = PoissonBinomial(chances);
    const CountLaw law(ClassesOf(std::span<const double>(chances)));
    double tail = 0;
    for (std::size_t k = plain.size(); k-- > 40;) {
      tail += plain[k];
      if (tail > 1e-20) {
        EXPECT_NEAR(law.AtLeast(static_cast<std::int64_t>(k)) / tail, 1, 1e-9) << k;
      }
    }
  }
}

// A hundred thousand and a million cases: against the normal law with its third-moment correction, whose own error is
// below 1e-4 here (one over the cases' spread squared).
TEST(CountLaw, OfVeryManyCasesAgreesWithTheNormalLimit) {
  for (const std::int64_t n : {100'000, 1'000'000}) {
    const ChanceClass mix[] = {{0.030, 15 * n / 100}, {0.079, 30 * n / 100}, {0.135, 30 * n / 100}, {0.264, 25 * n / 100}};
    double mean = 0, variance = 0, third = 0;
    for (const ChanceClass& each : mix) {
      const double cases = static_cast<double>(each.cases), p = each.chance;
      mean += cases * p, variance += cases * p * (1 - p), third += cases * p * (1 - p) * (1 - 2 * p);
    }
    const double sd = std::sqrt(variance), skew = third / (sd * sd * sd);
    const CountLaw law(mix);
    for (const double z : {-2.5, -1.0, 0.0, 1.0, 2.5}) {
      const auto k = static_cast<std::int64_t>(std::floor(mean + z * sd));
      const double at = (static_cast<double>(k) + 0.5 - mean) / sd;  // half a step on: counts are whole
      const double limit = NormalCdf(at) - skew / 6 * (at * at - 1) * std::exp(-at * at / 2) / std::sqrt(2 * M_PI);
      EXPECT_NEAR(law.AtMost(k), limit, 1e-5) << n << " " << z;
    }
  }
}

// The integral against the plain convolution of every case, from the middle far into both tails.
TEST(ManyCases, GiveThePlainConvolutionsTails) {
  const ChanceClass mix[] = {{0.030, 1'500}, {0.079, 3'000}, {0.135, 3'000}, {0.264, 2'500}};
  std::vector<double> chances;
  for (const ChanceClass& each : mix) chances.insert(chances.end(), static_cast<std::size_t>(each.cases), each.chance);
  const auto plain = PoissonBinomial(chances);
  const ManyCases law(mix);
  std::vector<double> from(plain.size() + 1), to(plain.size() + 1);
  for (std::size_t k = plain.size(); k-- > 0;) from[k] = from[k + 1] + plain[k];
  for (std::size_t k = 0; k < plain.size(); ++k) to[k + 1] = to[k] + plain[k];
  std::size_t compared = 0;
  for (std::size_t k = 1000; k < 1750; k += 3) {
    const auto count = static_cast<std::int64_t>(k);
    ASSERT_GT(std::min({from[k], to[k + 1], plain[k]}), 1e-40) << k;
    EXPECT_NEAR(law.AtLeast(count) / from[k], 1, 1e-9) << k;
    EXPECT_NEAR(law.AtMost(count) / to[k + 1], 1, 1e-9) << k;
    EXPECT_NEAR(law.Exactly(count) / plain[k], 1, 1e-9) << k;
    ++compared;
  }
  EXPECT_EQ(compared, 250U);
  for (const double q : {1e-6, 0.001, 0.025, 0.5, 0.975, 0.999}) {
    const auto k = static_cast<std::size_t>(law.Quantile(q));
    EXPECT_TRUE(to[k + 1] >= q && to[k] < q) << q;
  }
}

// Analytic: of one chance it is binomial (Boost's incomplete beta), at any size; certain and impossible cases shift it.
TEST(ManyCases, OfOneChanceAreBinomial) {
  for (const std::int64_t n : {20'000, 1'000'000}) {
    const ChanceClass one[] = {{0.135, n}, {1, 40}, {0, 900}};
    const ManyCases law(one);
    const double mean = 0.135 * static_cast<double>(n), sd = std::sqrt(mean * 0.865);
    for (const double z : {-6.0, -2.0, -0.1, 0.0, 0.1, 2.0, 6.0}) {
      const auto k = static_cast<std::int64_t>(mean + z * sd);
      EXPECT_NEAR(law.AtMost(k + 40) / BinomialCdf(k, n, 0.135), 1, 1e-8) << n << ' ' << z;
      EXPECT_NEAR(law.AtMost(k + 40) + law.AtLeast(k + 41), 1, 1e-11);
    }
    EXPECT_EQ(law.AtMost(39), 0);
    EXPECT_EQ(law.AtLeast(40), 1);
    EXPECT_EQ(law.AtLeast(n + 41), 0);
  }
}

TEST(CountLaw, TakesCertainAndImpossibleEvents) {
  const ChanceClass odd[] = {{0, 7}, {1, 3}, {0.5, 0}};
  const CountLaw law(odd);
  EXPECT_DOUBLE_EQ(law.Exactly(3), 1);
  EXPECT_DOUBLE_EQ(law.AtLeast(4), 0);
  EXPECT_DOUBLE_EQ(law.AtMost(2), 0);
  EXPECT_DOUBLE_EQ(CountLaw(std::span<const ChanceClass>()).Exactly(0), 1);
}

// 100,000 cases, whose interval must hold the normal limit's: log odds ± 1.96 / sqrt(V), right to a thousandth there.
TEST(CompareWithExpected, IsExactForAHundredThousandCases) {
  const ChanceClass mix[] = {{0.030, 15'000}, {0.079, 30'000}, {0.135, 30'000}, {0.264, 25'000}};
  const auto found = CompareWithExpected(mix, 14'000);
  ASSERT_TRUE(found.ok()) << Sentence(found.error());
  EXPECT_NEAR(found->expected, 13'470, 1e-6);
  double variance = 0;
  for (const ChanceClass& each : mix) {
    const double p = found->odds_factor * each.chance / (1 - each.chance + found->odds_factor * each.chance);
    variance += static_cast<double>(each.cases) * p * (1 - p);
  }
  EXPECT_NEAR(std::log(found->odds_interval.low), std::log(found->odds_factor) - kZ95 / std::sqrt(variance), 2e-4);
  EXPECT_NEAR(std::log(found->odds_interval.high), std::log(found->odds_factor) + kZ95 / std::sqrt(variance), 2e-4);
}

TEST(CompareWithExpected, RefusesWhatCannotBe) {
  const ChanceClass few[] = {{0.1, 10}}, bad[] = {{1.5, 10}}, none[] = {{0.1, 0}};
  EXPECT_FALSE(CompareWithExpected(few, 11).ok());
  EXPECT_FALSE(CompareWithExpected(bad, 1).ok());
  EXPECT_FALSE(CompareWithExpected(none, 0).ok());
  EXPECT_TRUE(CompareWithExpected(few, 0).ok());
}

}  // namespace
}  // namespace fairlead
