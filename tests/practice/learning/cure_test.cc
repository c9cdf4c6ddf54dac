// SPDX-License-Identifier: Apache-2.0
#include "practice/learning/cure.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/practice/learning/log32.h"
#include "tests/practice/learning/melanoma.h"

namespace fairlead {
namespace {

double Can(const CureFit& fit) { return 1.0 / (1.0 + std::exp(-fit.logit_can[0])); }
double Mean(const CureFit& fit) { return std::exp(-fit.log_rate[0]); }

// By hand: one crossing at t and one stop at t, exponential: log p + log r - rt, and log(1 - p + p exp(-rt)).
TEST(LogLikelihood, IsTheSumOfItsTwoKindsOfEnd) {
  const double a = 0.3, b = -2.0, p = 1.0 / (1.0 + std::exp(-a)), r = std::exp(b);
  const LikelihoodSlope crossed = LogLikelihood({{5, Ending::kCrossed}}, {}, a, b), stopped = LogLikelihood({{5, Ending::kStopped}}, {}, a, b);
  EXPECT_NEAR(crossed.value, std::log(p) + std::log(r) - 5 * r, 1e-12);
  EXPECT_NEAR(stopped.value, std::log(1 - p + p * std::exp(-5 * r)), 1e-12);
}

// Value, slope and curvature at logit 0.5, log rate -2.5, by R.
TEST(LogLikelihood, HasTheSlopeAndCurvatureThatRGives) {
  const LikelihoodSlope l = LogLikelihood(Hard(), {}, 0.5, -2.5);
  EXPECT_NEAR(-l.value, 34.3276012, 1e-7);
  EXPECT_NEAR(-l.a, 1.31530344, 1e-8);
  EXPECT_NEAR(-l.b, 2.45724976, 1e-8);
  EXPECT_NEAR(-l.aa, 2.52997809, 1e-8);
  EXPECT_NEAR(-l.ab, 2.22401253, 1e-8);
  EXPECT_NEAR(-l.bb, 4.78802002, 1e-8);
}

// Differences of the value and of the slope, for every law and with informative stops.
TEST(LogLikelihood, HasSlopesThatItsDifferencesConfirm) {
  const double h = 1e-5;
  for (const TimeShape& shape : {TimeShape{}, TimeShape{false, 1.7}, TimeShape{true, 0.8}}) {
    for (const double rate : {0.0, 0.02}) {
      const auto at = [&](double a, double b) { return LogLikelihood(Both(), shape, a, b, 2.0, rate); };
      const LikelihoodSlope l = at(0.4, -2.7);
      EXPECT_NEAR(l.a, (at(0.4 + h, -2.7).value - at(0.4 - h, -2.7).value) / (2 * h), 1e-6);
      EXPECT_NEAR(l.b, (at(0.4, -2.7 + h).value - at(0.4, -2.7 - h).value) / (2 * h), 1e-6);
      EXPECT_NEAR(l.aa, (at(0.4 + h, -2.7).a - at(0.4 - h, -2.7).a) / (2 * h), 1e-5);
      EXPECT_NEAR(l.ab, (at(0.4, -2.7 + h).a - at(0.4, -2.7 - h).a) / (2 * h), 1e-5);
      EXPECT_NEAR(l.bb, (at(0.4, -2.7 + h).b - at(0.4, -2.7 - h).b) / (2 * h), 1e-5);
    }
  }
}

struct Likeliest {
  std::vector<Trial> trials;
  double can, mean, cost, sd_logit, sd_log_rate, correlation;
};

TEST(FitCure, FindsTheLikeliestExponentialLaw) {
  for (const Likeliest& r : {Likeliest{Easy(), .793039892, 10.6741749, 42.4714433, .87689108, .42450064, -.48328669},
                             Likeliest{Hard(), .633235608, 22.3076073, 33.6339049, 1.36221580, .89682379, -.83329757},
                             Likeliest{Both(), .682971332, 13.7682187, 77.6709430, .59524746, .38973411, -.60010373}}) {
    const CureFit fit = FitCure({r.trials}, {}, std::nullopt);
    EXPECT_TRUE(fit.settled);
    EXPECT_NEAR(Can(fit), r.can, 1e-6);
    EXPECT_NEAR(Mean(fit), r.mean, 1e-5);
    EXPECT_NEAR(-fit.log_likelihood, r.cost, 1e-7);
    EXPECT_NEAR(fit.sd_logit[0], r.sd_logit, 1e-4 * r.sd_logit);
    EXPECT_NEAR(fit.sd_log_rate[0], r.sd_log_rate, 1e-4 * r.sd_log_rate);
    EXPECT_NEAR(fit.correlation[0], r.correlation, 1e-4);
  }
}

// R fits the shape as well: 1.47071081. At that shape the rest must be where R has it.
TEST(FitCure, FindsTheWeibullLawAtRsShape) {
  const CureFit fit = FitCure({Both()}, {false, 1.47071081}, std::nullopt);
  EXPECT_NEAR(Can(fit), 0.621034094, 1e-6);
  EXPECT_NEAR(Mean(fit), 11.6117674, 1e-4);
  EXPECT_NEAR(-fit.log_likelihood, 76.513538, 1e-6);
}

// A published data set, fitted in R: the shape of the law changes the share that is never reached from 42 to 64 %.
TEST(FitCure, FindsRsFitOfThePublishedMelanomaCases) {
  const CureFit weibull = FitCure({Melanoma(false)}, {false, 1.60200462}, std::nullopt), exponential = FitCure({Melanoma(false)}, {}, std::nullopt);
  EXPECT_NEAR(Can(weibull), 0.361333676, 1e-6);
  EXPECT_NEAR(Mean(weibull), 1776.93505, 1e-2);
  EXPECT_NEAR(-weibull.log_likelihood, 562.633097, 1e-5);
  EXPECT_NEAR(Can(exponential), 0.577664863, 1e-6);
  EXPECT_NEAR(Mean(exponential), 3768.77963, 1e-1);
  EXPECT_NEAR(-exponential.log_likelihood, 566.868756, 1e-5);
}

struct Pooled {
  std::vector<Trial> trials;
  double prior_can, prior_mean, can, mean, sd_logit, sd_log_rate, correlation, evidence;
};

// Mode, Laplace deviations and evidence under normal priors of sd 0.75 and 0.5, by R.
TEST(FitCure, HoldsTowardsAPriorAsRDoes) {
  for (const Pooled& r : {Pooled{Easy(), .85, 10, .82644507, 10.7896454, .596495612, .314463197, -.308071534, -43.2859647},
                          Pooled{Hard(), .65, 20, .633822252, 21.1477121, .583761577, .388690890, -.424940126, -34.2526298}}) {
    const CurePrior prior{{std::log(r.prior_can / (1 - r.prior_can))}, {0.75}, {-std::log(r.prior_mean)}, {0.5}, 0.0};
    const CureFit fit = FitCure({r.trials}, {}, prior);
    EXPECT_NEAR(Can(fit), r.can, 1e-6);
    EXPECT_NEAR(Mean(fit), r.mean, 1e-5);
    EXPECT_NEAR(fit.sd_logit[0], r.sd_logit, 1e-4);
    EXPECT_NEAR(fit.sd_log_rate[0], r.sd_log_rate, 1e-4);
    EXPECT_NEAR(fit.correlation[0], r.correlation, 1e-4);
    EXPECT_NEAR(fit.log_evidence, r.evidence, 1e-5);
  }
}

struct Informative {
  std::vector<Trial> trials;
  double ratio, can, mean, cost;
};

// Lesions that cannot be crossed are left faster by a known ratio: mode by R over three parameters.
TEST(FitCure, BelievesLessOfAStrategyWhereHopelessLesionsAreLeftFaster) {
  for (const Informative& r : {Informative{Easy(), 1.5, .764277098, 9.903136, 0}, Informative{Easy(), 3, .730437976, 9.059338, 0},
                               Informative{Hard(), 1.5, .566083591, 18.332850, 67.0878265}, Informative{Hard(), 2, .539242481, 16.789033, 66.9019516},
                               Informative{Hard(), 3, .514012129, 15.355986, 66.7212370}}) {
    const CureFit fit = FitCure({r.trials}, {}, std::nullopt, r.ratio);
    EXPECT_NEAR(Can(fit), r.can, 2e-5) << r.ratio;
    EXPECT_NEAR(Mean(fit), r.mean, 2e-3) << r.ratio;
    if (r.cost > 0) {
      EXPECT_NEAR(-fit.log_likelihood, r.cost, 1e-6);
    }
  }
}

TEST(FitCure, GivesThePriorBackWithoutAttempts) {
  const CurePrior prior{{1.0, 0.2}, {0.6, 0.5}, {-3.0, -3.5}, {0.4, 0.3}, 0.5};
  const CureFit fit = FitCure({{}, {}}, {true, 1.0}, prior, 1.5);
  for (std::size_t g = 0; g < 2; ++g) {
    EXPECT_NEAR(fit.logit_can[g], prior.logit_can[g], 1e-12);
    EXPECT_NEAR(fit.log_rate[g], prior.log_rate[g], 1e-12);
    EXPECT_NEAR(fit.sd_logit[g], prior.sd_logit[g], 1e-12);
    EXPECT_NEAR(fit.sd_log_rate[g], prior.sd_log_rate[g], 1e-12);
  }
}

// What is learnt on one class moves another by as much as they share, and never further than the class itself.
TEST(FitCure, LendsBetweenClassesWhatTheyShare) {
  const auto moved = [](double together) {
    const CurePrior prior{{0.6, 0.6}, {0.75, 0.75}, {-3.0, -3.0}, {0.5, 0.5}, together};
    return FitCure({Easy(), {}}, {}, prior);
  };
  EXPECT_NEAR(moved(0.0).logit_can[1], 0.6, 1e-9);
  const CureFit half = moved(0.5);
  EXPECT_NEAR(half.logit_can[1] - 0.6, 0.5 * (half.logit_can[0] - 0.6), 1e-6);
  EXPECT_GT(half.log_rate[0], -3.0);
  EXPECT_LT(half.sd_logit[1], 0.75);
}

TEST(FitCure, ComesToRestWhereEverythingOrNothingCrossed) {
  const CurePrior prior{{0.6}, {0.75}, {-3.0}, {0.5}, 0.0};
  const std::vector<Trial> all(30, Trial{4.0, Ending::kCrossed}), none(30, Trial{60.0, Ending::kStopped});
  for (const auto& trials : {all, none}) {
    for (const double ratio : {1.0, 3.0}) {
      const CureFit fit = FitCure({trials}, {true, 0.9}, prior, ratio);
      EXPECT_TRUE(fit.settled);
      EXPECT_TRUE(std::isfinite(fit.logit_can[0]) && std::isfinite(fit.sd_logit[0]));
    }
  }
}

}  // namespace
}  // namespace fairlead
