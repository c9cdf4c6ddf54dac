// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/laws.h"

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <cmath>

namespace fairlead {
namespace {

namespace bm = boost::math;
using bm::policies::discrete_quantile;
using bm::policies::integer_round_up;
// The library's usual policy rounds quantiles outwards; a funnel wants the smallest k that reaches q.
using UpwardBinomial = bm::binomial_distribution<double, bm::policies::policy<discrete_quantile<integer_round_up>>>;

}  // namespace

double NormalCdf(double z) { return bm::cdf(bm::normal(), z); }
double NormalQuantile(double p) { return bm::quantile(bm::normal(), p); }
double BetaQuantile(double p, double a, double b) { return bm::quantile(bm::beta_distribution<>(a, b), p); }

double BinomialCdf(std::int64_t k, std::int64_t n, double p) {
  if (k < 0) return 0;
  if (k >= n) return 1;
  return bm::cdf(bm::binomial_distribution<>(static_cast<double>(n), p), static_cast<double>(k));
}

double BinomialPmf(std::int64_t k, std::int64_t n, double p) {
  if (k < 0 || k > n) return 0;
  return bm::pdf(bm::binomial_distribution<>(static_cast<double>(n), p), static_cast<double>(k));
}

std::int64_t BinomialQuantile(double q, std::int64_t n, double p) {
  auto k = static_cast<std::int64_t>(bm::quantile(UpwardBinomial(static_cast<double>(n), p), q));
  // The library's root may end one beside the step.
  while (k > 0 && BinomialCdf(k - 1, n, p) >= q) --k;
  while (k < n && BinomialCdf(k, n, p) < q) ++k;
  return k;
}

double ChiSquareAbove(double x, double degrees) { return bm::cdf(bm::complement(bm::chi_squared(degrees), x)); }

double LogBeta(double a, double b) { return std::lgamma(a) + std::lgamma(b) - std::lgamma(a + b); }

std::optional<double> RootBetween(const std::function<double(double)>& f, double low, double high) {
  const double at_low = f(low), at_high = f(high);
  if (at_low == 0) return low;
  if (at_high == 0) return high;
  if (!(at_low * at_high < 0)) return std::nullopt;
  std::uintmax_t steps = 200;
  const auto [a, b] = bm::tools::toms748_solve(f, low, high, at_low, at_high, bm::tools::eps_tolerance<double>(50), steps);
  return (a + b) / 2;
}

double Logit(double p) { return std::log(p) - std::log1p(-p); }
double Logistic(double x) {
  if (x >= 0) return 1 / (1 + std::exp(-x));
  const double e = std::exp(x);
  return e / (1 + e);
}
double LogOnePlusExp(double x) { return x > 0 ? x + std::log1p(std::exp(-x)) : std::log1p(std::exp(x)); }

std::vector<double> PoissonBinomial(std::span<const double> chances) {
  std::vector<double> law(chances.size() + 1, 0.0);
  law[0] = 1;
  std::size_t held = 0;
  for (const double p : chances) {
    ++held;
    for (std::size_t k = held; k > 0; --k) law[k] = law[k] * (1 - p) + law[k - 1] * p;
    law[0] *= 1 - p;
  }
  return law;
}

}  // namespace fairlead
