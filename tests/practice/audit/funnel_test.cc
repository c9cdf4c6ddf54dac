// SPDX-License-Identifier: Apache-2.0
// Twelve hospitals, deaths of operations in infants' heart surgery: the public example "Surgical: institutional ranking" of
// a Bayesian package's manual. Expected values: R 4.2 (reference.R).
#include "practice/audit/funnel.h"

#include <gtest/gtest.h>

#include <cmath>

#include "practice/audit/laws.h"
#include "tests/practice/audit/logs.h"

namespace fairlead {
namespace {

constexpr Count kUnits[] = {{0, 47}, {18, 148}, {8, 119}, {46, 810}, {8, 211}, {13, 196}, {9, 148}, {31, 215}, {14, 207}, {8, 97}, {29, 256}, {24, 360}};
constexpr double kTarget = 208.0 / 2814.0;

TEST(Funnel, DrawsTheExactLimitsOfR) {
  const struct { std::int64_t n; double limit[4]; } rows[] = {
      {47, {0, 0, .146429, .205745}}, {148, {.013617, .030900, .115220, .144935}}, {810, {.046416, .055779, .091827, .103186}},
      {215, {.022649, .038422, .108505, .132218}}, {360, {.033538, .046615, .100689, .118441}}};
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(FunnelLimit(row.n, kTarget, kFunnelTails[i]), row.limit[i], 6e-7) << row.n;
  }
  EXPECT_EQ(BinomialQuantile(0.025, 148, kTarget), 5);  // the library's own policy would say 4
}

TEST(Funnel, DrawsRiskAdjustedLimits) {
  std::vector<double> chances;
  for (const Judged& each : SixtyAttempts()) chances.push_back(each.expected);
  const double wanted[] = {.1492878715, .4138139244, 1.547178714, 1.921695162};
  for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(RatioLimit(chances, kFunnelTails[i]), wanted[i], 1e-8);
}

TEST(Funnel, NarrowsWithCasesAndHoldsTheTarget) {
  double last = 1;
  for (std::int64_t n = 20; n <= 5000; n *= 2) {
    const double low = FunnelLimit(n, 0.1, 0.025), high = FunnelLimit(n, 0.1, 0.975);
    EXPECT_LT(low, 0.1);
    EXPECT_GT(high, 0.1);
    EXPECT_LT(high - low, last);
    last = high - low;
  }
}

TEST(Spread, AgreesWithR) {
  const auto spread = SpreadBetween(kUnits);
  ASSERT_TRUE(spread.ok());
  EXPECT_NEAR(spread->phi, 3.21296988, 1e-8);
  EXPECT_NEAR(spread->phi_winsorised, 2.36328704, 1e-8);
  EXPECT_NEAR(spread->between_variance, 0.000777629972, 1e-11);
  EXPECT_NEAR(spread->between_variance_winsorised, 0.000489889729, 1e-11);
  EXPECT_TRUE(spread->beyond_chance);
  EXPECT_NEAR(ChiSquareAbove(12 * spread->phi, 12), 0.0001245213, 1e-9);
}

TEST(Spread, IsNotGuessedFromFewUnits) { EXPECT_FALSE(SpreadBetween(std::span(kUnits).first(9)).ok()); }

// R 4.2, reference.R.
TEST(Spread, OfRatiosAgreesWithR) {
  const double seen[] = {3, 9, 2, 6, 12, 1, 5, 8, 4, 10, 7, 3}, expected[] = {4.1, 5.2, 3.9, 4.4, 6.0, 3.2, 4.8, 5.1, 4.9, 5.5, 5.0, 4.2};
  std::vector<RatioUnit> units;
  for (int i = 0; i < 12; ++i) units.push_back({seen[i], expected[i], 0.86 * expected[i]});
  const auto spread = SpreadOfRatios(units);
  ASSERT_TRUE(spread.ok());
  EXPECT_NEAR(spread->phi, 1.81582738604, 1e-10);
  EXPECT_NEAR(spread->phi_winsorised, 1.50191584148, 1e-10);
  EXPECT_NEAR(spread->between_variance, 0.180204328451, 1e-10);
  EXPECT_NEAR(spread->between_variance_winsorised, 0.117292083886, 1e-10);
  EXPECT_EQ(spread->beyond_chance, 1.81582738604 > 1 + 2 * std::sqrt(2.0 / 12));
  EXPECT_FALSE(SpreadOfRatios(std::span(units).first(9)).ok());
  units[3].expected = 0;
  EXPECT_FALSE(SpreadOfRatios(units).ok());
}

TEST(Shrink, AgreesWithTheBetaBinomialFitOfR) {
  const auto found = ShrinkShares(kUnits);
  ASSERT_TRUE(found.ok());
  EXPECT_NEAR(found->common, 0.0764988506, 1e-6);
  EXPECT_NEAR(found->weight / 107.890358, 1, 1e-5);
  EXPECT_NEAR(found->log_likelihood, -38.753089, 1e-6);
  const struct { std::size_t unit; double drawn, mean, low, high; } rows[] = {
      {0, .696560, .053286, .023805, .093613}, {1, .421627, .102597, .068545, .142522}, {7, .334139, .121569, .088273, .159301}};
  for (const auto& row : rows) {
    EXPECT_NEAR(found->units[row.unit].drawn_in, row.drawn, 3e-6);
    EXPECT_NEAR(found->units[row.unit].mean, row.mean, 2e-6);
    EXPECT_NEAR(found->units[row.unit].interval.low, row.low, 2e-6);
    EXPECT_NEAR(found->units[row.unit].interval.high, row.high, 2e-6);
  }
  EXPECT_FALSE(ShrinkShares(std::span(kUnits).first(2)).ok());
}

}  // namespace
}  // namespace fairlead
