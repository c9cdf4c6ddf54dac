// SPDX-License-Identifier: Apache-2.0
#include "reasoning/caution/crossing_prior.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "measure/source.h"

namespace fairlead {
namespace {

// pi x Phi((ln t - mu) / sigma). Sigma from the quartiles 11 and 44 min of successful single-wire crossings (median 23;
// Eur Heart J 2019;40(Suppl):P5750, "japan-times-2019"_source); ceilings pi assumed; mu so that the share crossed at 30 min
// is the published one (87.7, 67.1, 42.4, 10.0 %, "j-cto-2011"_source).
constexpr double kSigma = 1.028;
struct Class {
  double ceiling, at_30;
};
constexpr std::array<Class, 4> kClasses = {{{0.97, 0.877}, {0.92, 0.671}, {0.85, 0.424}, {0.70, 0.100}}};

double Normal(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

// The inverse of Normal, by halving: 60 steps reach the last bit that matters.
double Probit(double p) {
  double low = -8.0, high = 8.0;
  for (int step = 0; step < 60; ++step) (Normal(0.5 * (low + high)) < p ? low : high) = 0.5 * (low + high);
  return 0.5 * (low + high);
}

std::size_t ClassOf(double j_cto) { return static_cast<std::size_t>(std::clamp(std::lround(j_cto), 0L, 3L)); }

double CrossedBy(const Class& of, double minutes) {
  if (!(minutes > 0.0)) return 0.0;
  const double mu = std::log(30.0) - kSigma * Probit(of.at_30 / of.ceiling);
  return of.ceiling * Normal((std::log(minutes) - mu) / kSigma);
}

}  // namespace

double SwitchMinutes(std::optional<double> j_cto) {
  if (!j_cto) return 20.0;
  const std::size_t of = ClassOf(*j_cto);
  return of <= 1 ? 30.0 : of == 2 ? 20.0 : 10.0;
}

double CrossesInTen(double j_cto, double minutes) {
  const Class& of = kClasses[ClassOf(j_cto)];
  const double before = CrossedBy(of, minutes);
  return (CrossedBy(of, minutes + 10.0) - before) / (1.0 - before);
}

}  // namespace fairlead
