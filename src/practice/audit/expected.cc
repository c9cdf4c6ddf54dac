// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/expected.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <map>
#include <vector>

#include "practice/audit/count_law.h"
#include "practice/audit/laws.h"

namespace fairlead {
namespace {

constexpr std::int64_t kMostApart = 20'000;     // cases, where each has a chance of its own
constexpr std::size_t kFewClasses = 64;
constexpr double kTail = 0.025;
constexpr double kWidest = 8;  // of the logarithm of the factor
constexpr double kInfinity = std::numeric_limits<double>::infinity();

std::vector<ChanceClass> Shifted(std::span<const ChanceClass> classes, double log_factor) {
  const double factor = std::exp(log_factor);
  std::vector<ChanceClass> moved(classes.begin(), classes.end());
  for (ChanceClass& each : moved) each.chance = factor * each.chance / (1 - each.chance + factor * each.chance);
  return moved;
}

double SumOf(std::span<const ChanceClass> classes) {
  double sum = 0;
  for (const ChanceClass& each : classes) sum += static_cast<double>(each.cases) * each.chance;
  return sum;
}

double VarianceOf(std::span<const ChanceClass> classes) {
  double sum = 0;
  for (const ChanceClass& each : classes) sum += static_cast<double>(each.cases) * each.chance * (1 - each.chance);
  return sum;
}

// Every quantity asked for rises or falls with the factor, so each is one root. `near` and `far` are where it should lie
// if the count were normal: two evaluations instead of eight for the search.
double RootNear(const std::function<double(double)>& f, double near, double far, double otherwise) {
  auto at = RootBetween(f, std::max(-kWidest, std::min(near, far)), std::min(kWidest, std::max(near, far)));
  if (!at) at = RootBetween(f, -kWidest, kWidest);
  return at ? std::exp(*at) : otherwise;
}

// The fitted factor and the exact ends of its interval.
void FitFactor(std::span<const ChanceClass> classes, std::int64_t cases, AgainstExpected& found) {
  const auto seen = found.observed;
  const bool none = seen == 0, all = seen == cases;
  const auto root = RootBetween([&](double t) { return SumOf(Shifted(classes, t)) - static_cast<double>(seen); }, -kWidest, kWidest);
  found.odds_factor = none ? 0 : all ? kInfinity : root ? std::exp(*root) : 0;
  const double middle = root.value_or(0), spread = 1 / std::sqrt(std::max(1e-6, VarianceOf(Shifted(classes, middle))));
  const auto at_least = [&](double t) { return CountLaw(Shifted(classes, t)).AtLeast(seen) - kTail; };
  const auto at_most = [&](double t) { return CountLaw(Shifted(classes, t)).AtMost(seen) - kTail; };
  found.odds_interval.low = none ? 0 : RootNear(at_least, middle - 1.7 * spread, middle - 2.3 * spread, 0);
  found.odds_interval.high = all ? kInfinity : RootNear(at_most, middle + 1.7 * spread, middle + 2.3 * spread, kInfinity);
  const auto as_ratio = [&](double factor) {
    if (factor == 0) return 0.0;
    if (factor == kInfinity) return static_cast<double>(cases) / found.expected;
    return SumOf(Shifted(classes, std::log(factor))) / found.expected;
  };
  found.fitted_ratio = as_ratio(found.odds_factor);
  found.ratio_interval = {as_ratio(found.odds_interval.low), as_ratio(found.odds_interval.high)};
}

}  // namespace

std::vector<JudgedClass> ClassesJudged(std::span<const Judged> cases) {
  std::map<double, JudgedClass> classes;
  for (const Judged& each : cases) {
    JudgedClass& one = classes[each.expected];
    one.expected = each.expected, ++one.cases, one.events += each.happened ? 1 : 0;
  }
  std::vector<JudgedClass> listed;
  for (const auto& each : classes) listed.push_back(each.second);
  return listed;
}

Result<AgainstExpected> CompareWithExpected(std::span<const Judged> cases) {
  std::int64_t observed = 0;
  for (const Judged& each : cases) {
    if (!(each.expected >= 0 && each.expected <= 1)) return Error{"an expected chance is outside 0 to 1", "", "check the reference model"};
    observed += each.happened ? 1 : 0;
  }
  return CompareWithExpected(ClassesOf(cases), observed);
}

Result<AgainstExpected> CompareWithExpected(std::span<const ChanceClass> classes, std::int64_t observed) {
  std::int64_t cases = 0;
  for (const ChanceClass& each : classes) {
    if (!(each.chance >= 0 && each.chance <= 1)) return Error{"an expected chance is outside 0 to 1", "", "check the reference model"};
    cases += each.cases;
  }
  if (cases == 0) return Error{"there is no case to compare", "", "choose a wider slice"};
  if (classes.size() > kFewClasses && cases > kMostApart) return Error{"more than 20,000 cases, each with a chance of its own, in one exact comparison", "", "choose a narrower slice"};
  AgainstExpected found;
  found.observed = observed, found.expected = SumOf(classes), found.variance = VarianceOf(classes);
  if (!(found.expected > 0)) return Error{"the reference expects no event at all", "", "compare with another reference"};
  if (observed < 0 || observed > cases) return Error{"there are more events than cases", "", "count again"};
  const CountLaw law(classes);
  found.ratio = static_cast<double>(observed) / found.expected;
  found.at_least = law.AtLeast(observed);
  found.at_least_mid = found.at_least - law.Exactly(observed) / 2;
  FitFactor(classes, cases, found);
  return found;
}

}  // namespace fairlead
