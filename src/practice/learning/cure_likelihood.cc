// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <numbers>

#include "practice/learning/cure.h"

namespace fairlead {
namespace {

// Everything as a function of u = log(t x rate): S, its two slopes, and the log density of u with its two slopes.
struct AtTime {
  double s = 0.0, s1 = 0.0, s2 = 0.0;
  double log_g = 0.0, g1 = 0.0, g2 = 0.0;
};

AtTime LogNormalAt(double u, double sigma) {
  const double x = u / sigma, log_g = -0.5 * x * x - std::log(sigma * std::sqrt(2.0 * std::numbers::pi)), g = std::exp(log_g);
  return {0.5 * std::erfc(x / std::numbers::sqrt2), -g, g * x / sigma, log_g, -x / sigma, -1.0 / (sigma * sigma)};
}

AtTime WeibullAt(double u, double k) {
  const double v = std::exp(k * u), s = std::exp(-v);
  return {s, -k * v * s, k * k * v * (v - 1.0) * s, std::log(k) + k * u - v, k - k * v, -k * k * v};
}

AtTime At(const TimeShape& shape, double u) { return shape.log_normal ? LogNormalAt(u, shape.shape) : WeibullAt(u, shape.shape); }

bool OnImpression(const Trial& trial) { return trial.ending == Ending::kStopped && !trial.planned; }

void AddCrossed(LikelihoodSlope& sum, const AtTime& at, double p, double log_minutes) {
  sum.value += std::log(p) + at.log_g - log_minutes;
  sum.a += 1.0 - p;
  sum.b += at.g1;
  sum.aa -= p * (1.0 - p);
  sum.bb += at.g2;
}

void AddUncrossed(LikelihoodSlope& sum, const AtTime& at, double p, double r) {
  const double d = (1.0 - p) * r + p * at.s, slope = p * (1.0 - p);
  const double a = slope * (at.s - r) / d, b = p * at.s1 / d;
  sum.value += std::log(d);
  sum.a += a;
  sum.b += b;
  sum.aa += slope * (1.0 - 2.0 * p) * (at.s - r) / d - a * a;
  sum.ab += slope * at.s1 / d - a * b;
  sum.bb += p * at.s2 / d - b * b;
}

}  // namespace

double SurvivalOf(const TimeShape& shape, double log_ratio) { return At(shape, log_ratio).s; }

LikelihoodSlope LogLikelihood(const std::vector<Trial>& trials, const TimeShape& shape, double logit_can, double log_rate, double stop_ratio, double stop_rate_per_min) {
  LikelihoodSlope sum;
  const double p = 1.0 / (1.0 + std::exp(-logit_can)), k = stop_rate_per_min;
  for (const Trial& trial : trials) {
    const double log_minutes = std::log(trial.minutes);
    const AtTime at = At(shape, log_minutes + log_rate);
    if (k > 0.0) sum.value -= k * trial.minutes - (OnImpression(trial) ? std::log(k) : 0.0);
    if (trial.ending == Ending::kCrossed) {
      AddCrossed(sum, at, p, log_minutes);
      continue;
    }
    const double left = std::exp(-(stop_ratio - 1.0) * k * trial.minutes);
    AddUncrossed(sum, at, p, OnImpression(trial) && k > 0.0 ? stop_ratio * left : left);
  }
  return sum;
}

double CrudeStopRate(const TrialGroups& groups) {
  double stops = 0.0, minutes = 0.0;
  for (const auto& trials : groups) {
    for (const Trial& trial : trials) {
      stops += OnImpression(trial) ? 1.0 : 0.0;
      minutes += trial.minutes;
    }
  }
  return minutes > 0.0 ? stops / minutes : 0.0;
}

}  // namespace fairlead
