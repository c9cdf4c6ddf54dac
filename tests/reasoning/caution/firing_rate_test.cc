// SPDX-License-Identifier: Apache-2.0
// How often the rules of totals speak over many invented runs whose totals are drawn from published cohorts. A rule that
// fires in most runs teaches people to click it away.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "reasoning/caution/caution.h"
#include "tests/casebook/run/typed.h"

namespace fairlead {
namespace {

constexpr int kRuns = 400;

// Log-normals from published medians and quartiles, mu = ln(median), sigma = ln(Q3/Q1)/1.349: contrast 270 [200-360]
// mL and air kerma 2.9 [1.7-4.7] Gy in 3,122 runs (JACC Cardiovasc Interv 2018;11:1325-1335, abstract).
struct LogNormal {
  double mu, sigma;
};
constexpr LogNormal kContrast_ml{5.598, 0.436}, kKerma_gy{1.065, 0.754};

double Draw(const LogNormal& law, std::mt19937_64& random) { return std::exp(law.mu + law.sigma * std::normal_distribution<>()(random)); }

// Phi((mu - ln limit) / sigma): the share of runs above the limit, in closed form.
double Above(const LogNormal& law, double limit) { return 0.5 * std::erfc((std::log(limit) - law.mu) / law.sigma / std::sqrt(2.0)); }

struct Tally {
  int band[4] = {0, 0, 0, 0};  // runs in which S-14 reached at least that step
  int five_gray = 0;
};

Tally Fire(double egfr, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  Tally tally;
  for (int i = 0; i < kRuns; ++i) {
    const double contrast = std::clamp(Draw(kContrast_ml, random), 1.0, 1900.0), kerma = std::clamp(Draw(kKerma_gy, random), 0.01, 29.0);
    const std::vector<std::string> lines = {
        "08:00 fact egfr " + std::to_string(egfr), "10:00 access femoral", "10:01 guide a in 7F 100cm", "10:02 wire a in soft",
        "11:00 contrast =" + std::to_string(std::lround(contrast)), "11:01 ak " + std::to_string(kerma) + "Gy"};
    const Cautions cautions = CautionsOf(Fold(Typed(lines)), {}, {}, Clock("11:02"));
    int reached = 0;
    for (const Caution& caution : cautions.intervals) {
      if (caution.rule->id == "S-14") reached = std::max(reached, caution.step);
      if (caution.rule->id == "S-20") ++tally.five_gray;
    }
    for (int band = 1; band <= reached; ++band) ++tally.band[band];
  }
  return tally;
}

// Expected shares derived from those log-normals, to two digits: contrast at 2, 3, 3.7 times an eGFR of 50, 70, 90; 5 Gy.
TEST(FiringRates, AreThoseOfThePublishedTotals) {
  struct Row {
    double egfr, two, three, more;
  };
  constexpr Row kExpected[] = {{50, 0.99, 0.91, 0.81}, {70, 0.93, 0.72, 0.54}, {90, 0.82, 0.50, 0.31}};
  for (const Row& row : kExpected) {
    const Tally tally = Fire(row.egfr, static_cast<std::uint64_t>(row.egfr));
    const double expected[] = {row.two, row.three, row.more};
    constexpr double kTimes[] = {2.0, 3.0, 3.7};
    for (int band = 1; band <= 3; ++band) {
      const double p = expected[band - 1], share = tally.band[band] / static_cast<double>(kRuns);
      EXPECT_NEAR(Above(kContrast_ml, kTimes[band - 1] * row.egfr), p, 0.0051) << "the table's own closed form";
      EXPECT_NEAR(share, p, 3.5 * std::sqrt(p * (1.0 - p) / kRuns) + 0.01) << row.egfr << " band " << band;
    }
    EXPECT_NEAR(tally.five_gray / static_cast<double>(kRuns), 0.235, 3.5 * std::sqrt(0.235 * 0.765 / kRuns) + 0.01);
  }
}

}  // namespace
}  // namespace fairlead
