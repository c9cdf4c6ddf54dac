// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/clock.h"
#include "reasoning/strategy/law.h"

#include <gtest/gtest.h>

#include <cmath>

namespace fairlead {
namespace {

// Expected values: closed forms evaluated in Python with SciPy 1.10.
TEST(Clock, ForgetsNothingOfTheExponentialLaw) {
  const Clock a{0.60, {LawKind::kExponential, 12.0}}, b{0.75, {LawKind::kExponential, 20.0}};
  struct Row { double t, crossed, can, next5, hazard; };
  for (const Row& row : {Row{0, 0, .6, .20445562, .05}, Row{10, .33924107, .39463549, .13447574, .03288629},
                         Row{30, .55074900, .10962914, .03735716, .00913576}, Row{60, .59595723, .01000579, .00340957, .00083382}}) {
    EXPECT_NEAR(CrossedBy(a, row.t), row.crossed, 6e-9);
    EXPECT_NEAR(StillCan(a, row.t), row.can, 6e-9);
    EXPECT_NEAR(CrossesWithin(a, row.t, 5), row.next5, 6e-9);
    EXPECT_NEAR(HazardSeen(a, row.t), row.hazard, 6e-9);
  }
  EXPECT_NEAR(StillCan(b, 45), 0.24023570, 6e-9);
  EXPECT_NEAR(HazardSeen(b, 60), 0.00649757, 6e-9);
}

TEST(Clock, GammaMixedFallsWithAHeavyTail) {
  const Clock clock{0.7, {LawKind::kGammaMixed, 24.0, 2.0}};
  EXPECT_NEAR(StillCan(clock, 30), 0.31549296, 6e-9);
  EXPECT_NEAR(HazardSeen(clock, 10), 0.03162353, 6e-9);
  EXPECT_NEAR(CrossesWithin(clock, 60, 5), 0.01747254, 6e-9);
}

TEST(Clock, WeibullRisesThenFalls) {
  const Clock clock{0.7, {LawKind::kWeibull, 20.0, 1.5}};
  EXPECT_NEAR(StillCan(clock, 20), 0.46189847, 6e-9);
  EXPECT_NEAR(HazardSeen(clock, 10), 0.03293287, 6e-9);
  EXPECT_NEAR(HazardSeen(clock, 15.979134), 0.03574748, 6e-9);
  EXPECT_GT(HazardSeen(clock, 15.979134), HazardSeen(clock, 15));
  EXPECT_GT(HazardSeen(clock, 15.979134), HazardSeen(clock, 17));
  EXPECT_NEAR(CrossesWithin(clock, 60, 5), 0.00618230, 6e-9);
}

TEST(Index, OrdersFreeSwitching) {
  const Clock a{0.60, {LawKind::kExponential, 12.0}}, b{0.75, {LawKind::kExponential, 20.0}};
  const IndexTerms patient{3.0, 0.0, 0.0}, hurried{3.0, 0.0, 1.0 / 60};
  EXPECT_NEAR(Index(a, .0005, 0, hurried), 0.72208437, 6e-9);
  EXPECT_NEAR(Index(b, .0015, 30, hurried), 0.40687422, 6e-9);
  EXPECT_NEAR(Index(a, .0005, 20, patient), 0.89416455, 6e-9);
  EXPECT_NEAR(Index(a, .0005, 52.85621590, patient), 0.0, 1e-6);
  EXPECT_NEAR(Index(b, .0015, 68.24494436, patient), 0.0, 1e-6);
}

TEST(Exposures, AgreeWithClosedForms) {
  // Weibull of shape 1 and gamma-mixed of shape 1 without hazard have closed integrals.
  const auto weibull = Exposures({LawKind::kWeibull, 12.0, 1.0}, 0.001, 60);
  const auto exponential = Exposures({LawKind::kExponential, 12.0}, 0.001, 60);
  const auto mixed = Exposures({LawKind::kGammaMixed, 24.0, 1.0}, 0.0, 60);
  for (std::size_t d = 0; d <= 60; ++d) {
    EXPECT_NEAR(weibull[d], exponential[d], 1e-12);
    EXPECT_NEAR(mixed[d], 24.0 * std::log1p(static_cast<double>(d) / 24.0), 1e-11);
  }
  // Weibull of shape 1/2: the integral of exp(-sqrt(t/q)) is 2 q (1 - (1 + s) exp(-s)), s = sqrt(d/q).
  const auto steep = Exposures({LawKind::kWeibull, 3.0, 0.5}, 0.0, 60);
  for (const int d : {1, 7, 60}) {
    const double s = std::sqrt(d / 3.0);
    EXPECT_NEAR(steep[static_cast<std::size_t>(d)], 6.0 * (1.0 - (1.0 + s) * std::exp(-s)), 1e-10);
  }
}

TEST(SumOfPhases, TwoEqualExponentialPhasesAreErlang) {
  const ClockLaw sum = SumOfPhases({{LawKind::kExponential, 10.0}, {LawKind::kExponential, 10.0}}, 0.25, 1600);
  for (const double t : {5.0, 20.0, 60.0}) EXPECT_NEAR(Survival(sum, t), (1.0 + t / 10.0) * std::exp(-t / 10.0), 2e-4);
}

TEST(Survival, IsConditionalOnWhatHasElapsed) {
  const ClockLaw law{LawKind::kWeibull, 20.0, 1.5}, later{LawKind::kWeibull, 20.0, 1.5, {}, 7.0};
  EXPECT_NEAR(Survival(later, 5.0), Survival(law, 12.0) / Survival(law, 7.0), 1e-14);
}

}  // namespace
}  // namespace fairlead
