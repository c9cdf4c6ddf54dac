// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/funnel.h"

#include <algorithm>
#include <cmath>

#include "practice/audit/count_law.h"
#include "practice/audit/laws.h"

namespace fairlead {
namespace {

// Quantile of type 7: between the two neighbours in order.
double QuantileOf(std::vector<double> values, double q) {
  std::sort(values.begin(), values.end());
  const double at = q * static_cast<double>(values.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  const std::size_t above = std::min(below + 1, values.size() - 1);
  return values[below] + (at - static_cast<double>(below)) * (values[above] - values[below]);
}

Status Usable(std::span<const Count> units, std::size_t least) {
  if (units.size() < least) return Error{"there are too few units to compare", "", "use the plain exact limits"};
  for (const Count& unit : units) {
    if (unit.cases <= 0 || unit.events < 0 || unit.events > unit.cases) {
      return Error{"a unit has no case, or more events than cases", "", "leave it out"};
    }
  }
  return Done{};
}

constexpr std::size_t kLeastUnits = 10;  // of fewer the spread is anybody's guess: practice, no source

double Pooled(std::span<const Count> units) {
  double events = 0, cases = 0;
  for (const Count& unit : units) events += static_cast<double>(unit.events), cases += static_cast<double>(unit.cases);
  return events / cases;
}

}  // namespace

double FunnelLimit(std::int64_t n, double target, double q) {
  const std::int64_t k = BinomialQuantile(q, n, target);
  const double at = BinomialCdf(k, n, target), before = BinomialCdf(k - 1, n, target);
  return std::max(0.0, (static_cast<double>(k) - (at - q) / (at - before)) / static_cast<double>(n));
}

double RatioLimit(std::span<const double> chances, double q) { return RatioLimits(ClassesOf(chances), std::span(&q, 1)).front(); }

std::vector<double> RatioLimits(std::span<const ChanceClass> classes, std::span<const double> tails) {
  double expected = 0;
  for (const ChanceClass& each : classes) expected += static_cast<double>(each.cases) * each.chance;
  const CountLaw law(classes);
  std::vector<double> limits;
  for (const double q : tails) {
    const std::int64_t k = law.Quantile(q);
    limits.push_back(std::max(0.0, (static_cast<double>(k) - (law.AtMost(k) - q) / law.Exactly(k)) / expected));
  }
  return limits;
}

namespace {

// Of standardised differences and the precision of each unit.
Spread SpreadOf(const std::vector<double>& scores, const std::vector<double>& precisions) {
  const double count = static_cast<double>(scores.size()), low = QuantileOf(scores, 0.1), high = QuantileOf(scores, 0.9);
  double weights = 0, squares = 0;
  for (const double w : precisions) weights += w, squares += w * w;
  Spread spread;
  spread.phi = spread.phi_winsorised = 0;
  for (const double z : scores) {
    const double cut = std::clamp(z, low, high);
    spread.phi += z * z / count, spread.phi_winsorised += cut * cut / count;
  }
  const auto between = [&](double phi) { return std::max(0.0, (count * phi - (count - 1)) / (weights - squares / weights)); };
  spread.between_variance = between(spread.phi), spread.between_variance_winsorised = between(spread.phi_winsorised);
  spread.beyond_chance = spread.phi > 1 + 2 * std::sqrt(2 / count);
  return spread;
}

}  // namespace

Result<Spread> SpreadBetween(std::span<const Count> units) {
  if (auto fits = Usable(units, kLeastUnits); !fits) return fits.error();
  const double target = Pooled(units);
  if (!(target > 0 && target < 1)) return Error{"every case has the same outcome", "", "there is no spread to estimate"};
  std::vector<double> scores, precisions;
  for (const Count& unit : units) {
    const double n = static_cast<double>(unit.cases), variance = target * (1 - target) / n;
    scores.push_back((static_cast<double>(unit.events) / n - target) / std::sqrt(variance));
    precisions.push_back(1 / variance);
  }
  return SpreadOf(scores, precisions);
}

Result<Spread> SpreadOfRatios(std::span<const RatioUnit> units) {
  if (units.size() < kLeastUnits) return Error{"there are too few units to compare", "", "use the plain exact limits"};
  std::vector<double> scores, precisions;
  for (const RatioUnit& unit : units) {
    if (!(unit.expected > 0 && unit.variance > 0)) return Error{"a unit expects no event at all, or nothing else", "", "leave it out"};
    scores.push_back((unit.observed - unit.expected) / std::sqrt(unit.variance));
    precisions.push_back(unit.expected * unit.expected / unit.variance);
  }
  return SpreadOf(scores, precisions);
}

namespace {

struct Common {
  double mean = 0;
  double weight = 0;
};

double LogLikelihood(std::span<const Count> units, Common common) {
  const double a = common.mean * common.weight, b = (1 - common.mean) * common.weight;
  double sum = 0;
  for (const Count& unit : units) {
    const double r = static_cast<double>(unit.events), n = static_cast<double>(unit.cases);
    sum += LogBeta(r + a, n - r + b) - LogBeta(a, b) - LogBeta(r + 1, n - r + 1) - std::log1p(n);
  }
  return sum;
}

// Golden-section search for the top of a function with one top.
template <typename F>
double TopBetween(F f, double low, double high) {
  constexpr double kGolden = 0.6180339887498949;
  double a = high - kGolden * (high - low), b = low + kGolden * (high - low), at_a = f(a), at_b = f(b);
  for (int i = 0; i < 90; ++i) {
    if (at_a < at_b) low = a, a = b, at_a = at_b, b = low + kGolden * (high - low), at_b = f(b);
    else high = b, b = a, at_b = at_a, a = high - kGolden * (high - low), at_a = f(a);
  }
  return (low + high) / 2;
}

}  // namespace

Result<Shrinkage> ShrinkShares(std::span<const Count> units) {
  if (auto fits = Usable(units, 3); !fits) return fits.error();
  // For each weight the best mean, over the weights the best of these: both have one top.
  const auto best_mean = [&](double log_weight) {
    return TopBetween([&](double mean) { return LogLikelihood(units, {mean, std::exp(log_weight)}); }, 1e-9, 1 - 1e-9);
  };
  const double log_weight = TopBetween([&](double t) { return LogLikelihood(units, {best_mean(t), std::exp(t)}); }, std::log(0.1), std::log(1e7));
  const Common common{best_mean(log_weight), std::exp(log_weight)};
  Shrinkage shrinkage{common.mean, common.weight, LogLikelihood(units, common), {}};
  for (const Count& unit : units) {
    const double r = static_cast<double>(unit.events), n = static_cast<double>(unit.cases);
    const double a = common.mean * common.weight + r, b = (1 - common.mean) * common.weight + n - r;
    shrinkage.units.push_back({.mean = a / (a + b), .interval = {BetaQuantile(0.025, a, b), BetaQuantile(0.975, a, b)},
                               .drawn_in = common.weight / (n + common.weight)});
  }
  return shrinkage;
}

}  // namespace fairlead
