// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/expected.h"

#include <cmath>
#include <limits>
#include <numeric>
#include <vector>

#include "practice/audit/laws.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostExact = 20000;
constexpr double kTail = 0.025;
constexpr double kWidest = 8;  // of the logarithm of the factor
constexpr double kInfinity = std::numeric_limits<double>::infinity();

std::vector<double> Shifted(std::span<const Judged> cases, double log_factor) {
  const double factor = std::exp(log_factor);
  std::vector<double> chances;
  chances.reserve(cases.size());
  for (const Judged& each : cases) chances.push_back(factor * each.expected / (1 - each.expected + factor * each.expected));
  return chances;
}

double SumShifted(std::span<const Judged> cases, double log_factor) {
  const auto chances = Shifted(cases, log_factor);
  return std::accumulate(chances.begin(), chances.end(), 0.0);
}

double AtLeast(const std::vector<double>& law, std::int64_t count) {
  double sum = 0;
  for (std::size_t k = law.size(); k > static_cast<std::size_t>(count); --k) sum += law[k - 1];
  return sum;
}

double AtMost(const std::vector<double>& law, std::int64_t count) {
  double sum = 0;
  for (std::int64_t k = 0; k <= count; ++k) sum += law[static_cast<std::size_t>(k)];
  return sum;
}

// The fitted factor and the exact ends of its interval; every quantity rises with the factor, so each is one root.
void FitFactor(std::span<const Judged> cases, AgainstExpected& found) {
  const auto seen = found.observed;
  const bool none = seen == 0, all = seen == static_cast<std::int64_t>(cases.size());
  const auto root = [](const std::function<double(double)>& f, double otherwise) {
    const auto at = RootBetween(f, -kWidest, kWidest);
    return at ? std::exp(*at) : otherwise;
  };
  found.odds_factor = none ? 0 : all ? kInfinity : root([&](double t) { return SumShifted(cases, t) - static_cast<double>(seen); }, 0);
  found.odds_interval.low = none ? 0 : root([&](double t) { return AtLeast(PoissonBinomial(Shifted(cases, t)), seen) - kTail; }, 0);
  found.odds_interval.high = all ? kInfinity : root([&](double t) { return AtMost(PoissonBinomial(Shifted(cases, t)), seen) - kTail; }, kInfinity);
  const auto as_ratio = [&](double factor) {
    if (factor == 0) return 0.0;
    if (factor == kInfinity) return static_cast<double>(cases.size()) / found.expected;
    return SumShifted(cases, std::log(factor)) / found.expected;
  };
  found.fitted_ratio = as_ratio(found.odds_factor);
  found.ratio_interval = {as_ratio(found.odds_interval.low), as_ratio(found.odds_interval.high)};
}

}  // namespace

Result<AgainstExpected> CompareWithExpected(std::span<const Judged> cases) {
  if (cases.empty()) return Error{"there is no case to compare", "", "choose a wider slice"};
  if (cases.size() > kMostExact) return Error{"more than 20,000 cases in one exact comparison", "", "choose a narrower slice"};
  AgainstExpected found;
  std::vector<double> chances;
  for (const Judged& each : cases) {
    if (!(each.expected >= 0 && each.expected <= 1)) return Error{"an expected chance is outside 0 to 1", "", "check the reference model"};
    chances.push_back(each.expected);
    found.observed += each.happened ? 1 : 0;
    found.expected += each.expected;
    found.variance += each.expected * (1 - each.expected);
  }
  if (!(found.expected > 0)) return Error{"the reference expects no event at all", "", "compare with another reference"};
  const auto law = PoissonBinomial(chances);
  found.ratio = static_cast<double>(found.observed) / found.expected;
  found.at_least = AtLeast(law, found.observed);
  found.at_least_mid = found.at_least - law[static_cast<std::size_t>(found.observed)] / 2;
  FitFactor(cases, found);
  return found;
}

}  // namespace fairlead
