// SPDX-License-Identifier: Apache-2.0
// Tails of a count of very many cases from its generating function M: for s > 0
//   P(X >= k) = 1 / 2 pi  integral over (-pi, pi) of  M(s + iu) exp(-(s + iu) k) / (1 - exp(-(s + iu))) du,
// the geometric sum of Cauchy's integrals for P(X = x). By the trapezium rule with L steps around the circle it is exact but
// for counts that lie L apart; with L = 24 standard deviations and s at the saddle, or 2 standard deviations from 0, they
// are e^-48 of it. Only where the integrand is not yet below e^-45 of its middle is it computed: some 40 points, however many cases.
#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "practice/audit/count_law.h"

namespace fairlead {
namespace {

struct Tilted {
  std::vector<ChanceClass> classes;  // with the chances that all odds times e^s give
  double log_mass = 0;               // ln M(s)
  double mean = 0, sd = 0;
};

Tilted TiltedBy(std::span<const ChanceClass> classes, double s) {
  Tilted tilted;
  double variance = 0;
  for (const ChanceClass& each : classes) {
    const double grown = each.chance * std::expm1(s), q = each.chance * std::exp(s) / (1 + grown), n = static_cast<double>(each.cases);
    tilted.classes.push_back({.chance = q, .cases = each.cases});
    tilted.log_mass += n * std::log1p(grown), tilted.mean += n * q, variance += n * q * (1 - q);
  }
  tilted.sd = std::sqrt(variance);
  return tilted;
}

// Where the tilted mean is `target`, by Newton's method on a convex function.
double Saddle(std::span<const ChanceClass> classes, double target) {
  double s = 0;
  for (int step = 0; step < 50; ++step) {
    const Tilted at = TiltedBy(classes, s);
    const double change = std::clamp((target - at.mean) / std::max(at.sd * at.sd, 1e-9), -1.0, 1.0);
    s = std::clamp(s + change, -30.0, 30.0);
    if (std::abs(change) * at.sd < 1e-6) break;
  }
  return s;
}

enum class Tail { kFrom, kTo, kAt };

double ByTransform(std::span<const ChanceClass> classes, std::int64_t count, Tail tail) {
  const double k = static_cast<double>(count);
  const double apart = 2 / TiltedBy(classes, 0).sd, saddle = Saddle(classes, k);
  const double s = tail == Tail::kFrom ? std::max(saddle, apart) : tail == Tail::kTo ? std::min(saddle, -apart) : saddle;
  const Tilted at = TiltedBy(classes, s);
  const double steps = std::ceil(24 * std::max(at.sd, 1.0)), width = 2 * std::numbers::pi / steps;
  const auto points = static_cast<int>(std::min(std::floor(steps / 2), std::ceil(9.5 / std::max(at.sd, 1.0) / width)));
  double sum = 0;
  for (int i = 0; i <= points; ++i) {
    const double u = i * width;
    // ln(1 + q (exp(iu) - 1)): its square is 1 - 4 q (1 - q) sin^2(u / 2), so that nothing cancels where u is small.
    const double half = std::sin(u / 2), square = half * half, across = std::sin(u);
    std::complex<double> log{at.log_mass - s * k, -u * k};
    for (const ChanceClass& each : at.classes) {
      const double q = each.chance, n = static_cast<double>(each.cases);
      log += std::complex<double>(n / 2 * std::log1p(-4 * q * (1 - q) * square), n * std::atan2(q * across, 1 - 2 * q * square));
    }
    std::complex<double> value = std::exp(log);
    if (tail == Tail::kFrom) value /= 1.0 - std::exp(std::complex<double>(-s, -u));
    if (tail == Tail::kTo) value /= 1.0 - std::exp(std::complex<double>(s, u));
    sum += (i == 0 || 2.0 * i == steps ? 1 : 2) * value.real();
  }
  return std::clamp(sum / steps, 0.0, 1.0);
}

}  // namespace

// Of each pair of tails the smaller one is computed and the other taken from 1, so that both are right to their own size.
ManyCases::ManyCases(std::span<const ChanceClass> classes) {
  for (const ChanceClass& each : classes) {
    if (each.cases == 0 || each.chance <= 0) continue;
    if (each.chance >= 1) {
      certain_ += each.cases;
      continue;
    }
    classes_.push_back(each), cases_ += each.cases;
    mean_ += static_cast<double>(each.cases) * each.chance, variance_ += static_cast<double>(each.cases) * each.chance * (1 - each.chance);
  }
}

double ManyCases::AtLeast(std::int64_t count) const {
  const std::int64_t k = count - certain_;
  if (k <= 0) return 1;
  if (k > cases_) return 0;
  return static_cast<double>(k) > mean_ ? ByTransform(classes_, k, Tail::kFrom) : 1 - ByTransform(classes_, k - 1, Tail::kTo);
}

double ManyCases::AtMost(std::int64_t count) const {
  const std::int64_t k = count - certain_;
  if (k < 0) return 0;
  if (k >= cases_) return 1;
  return static_cast<double>(k) < mean_ ? ByTransform(classes_, k, Tail::kTo) : 1 - ByTransform(classes_, k + 1, Tail::kFrom);
}

double ManyCases::Exactly(std::int64_t count) const {
  const std::int64_t k = count - certain_;
  if (k < 0 || k > cases_) return 0;
  return ByTransform(classes_, k, Tail::kAt);
}

std::int64_t ManyCases::Quantile(double q) const {
  const double reach = 40 * std::sqrt(variance_) + 1;  // of the normal law; beyond it nothing is left at any q that a double can hold
  std::int64_t low = std::max<std::int64_t>(0, static_cast<std::int64_t>(mean_ - reach)), high = std::min(cases_, static_cast<std::int64_t>(mean_ + reach));
  while (low < high) {
    const std::int64_t middle = low + (high - low) / 2;
    if (AtMost(middle + certain_) >= q) high = middle;
    else low = middle + 1;
  }
  return low + certain_;
}

}  // namespace fairlead
