// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/count_law.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

namespace fairlead {
namespace {

constexpr double kLeftOut = 1e-30;  // of the most likely outcome

std::vector<ChanceClass> Listed(const std::map<double, std::int64_t>& counts) {
  std::vector<ChanceClass> classes;
  classes.reserve(counts.size());
  for (const auto& [chance, cases] : counts) classes.push_back({.chance = chance, .cases = cases});
  return classes;
}

}  // namespace

std::vector<ChanceClass> ClassesOf(std::span<const Judged> cases) {
  std::map<double, std::int64_t> counts;
  for (const Judged& each : cases) ++counts[each.expected];
  return Listed(counts);
}

std::vector<ChanceClass> ClassesOf(std::span<const double> chances) {
  std::map<double, std::int64_t> counts;
  for (const double chance : chances) ++counts[chance];
  return Listed(counts);
}

// Outwards from the most likely count by the ratio of neighbours, so that nothing overflows; then made to add up to 1.
CountLaw::Half CountLaw::Binomial(const ChanceClass& one) {
  const double p = one.chance;
  if (p <= 0) return {0, {1.0}};
  if (p >= 1) return {one.cases, {1.0}};
  const auto top = std::min(one.cases, static_cast<std::int64_t>(static_cast<double>(one.cases + 1) * p));
  const double odds = p / (1 - p);
  std::vector<double> down, up;
  double mass = 1;
  for (std::int64_t k = top; k > 0; --k) {
    mass *= static_cast<double>(k) / (static_cast<double>(one.cases - k + 1) * odds);
    if (mass < kLeftOut) break;
    down.push_back(mass);
  }
  mass = 1;
  for (std::int64_t k = top; k < one.cases; ++k) {
    mass *= static_cast<double>(one.cases - k) * odds / static_cast<double>(k + 1);
    if (mass < kLeftOut) break;
    up.push_back(mass);
  }
  Half half{top - static_cast<std::int64_t>(down.size()), {down.rbegin(), down.rend()}};
  half.mass.push_back(1);
  half.mass.insert(half.mass.end(), up.begin(), up.end());
  const double sum = std::accumulate(half.mass.begin(), half.mass.end(), 0.0);
  for (double& each : half.mass) each /= sum;
  return half;
}

CountLaw::Half CountLaw::Fold(const Half& a, const Half& b) {
  const Half& few = a.mass.size() < b.mass.size() ? a : b;
  const Half& many = &few == &a ? b : a;
  Half both{a.from + b.from, std::vector<double>(a.mass.size() + b.mass.size() - 1, 0.0)};
  const Eigen::Map<const Eigen::ArrayXd> long_one(many.mass.data(), static_cast<Eigen::Index>(many.mass.size()));
  for (std::size_t i = 0; i < few.mass.size(); ++i) {
    Eigen::Map<Eigen::ArrayXd>(both.mass.data() + i, long_one.size()) += few.mass[i] * long_one;
  }
  return both;
}

CountLaw::CountLaw(std::span<const ChanceClass> classes) {
  constexpr double kMany = 1'000;        // of the count's variance: from there on folding costs more
  constexpr std::size_t kFew = 256;      // classes: with more of them the integral costs as much as folding
  if (ManyCases all(classes); all.variance() >= kMany && classes.size() <= kFew) {
    many_ = std::move(all);
    return;
  }
  std::vector<Half> laws;
  for (const ChanceClass& each : classes) {
    if (each.cases > 0) laws.push_back(Binomial(each));
  }
  // The widest goes to the half that is narrower so far: both end about as wide.
  std::sort(laws.begin(), laws.end(), [](const Half& a, const Half& b) { return a.mass.size() > b.mass.size(); });
  for (const Half& each : laws) {
    Half& half = a_.mass.size() <= b_.mass.size() ? a_ : b_;
    half = Fold(half, each);
  }
  above_.resize(b_.mass.size() + 1), below_.resize(b_.mass.size() + 1);
  for (std::size_t i = b_.mass.size(); i-- > 0;) above_[i] = above_[i + 1] + b_.mass[i];
  for (std::size_t i = 0; i < b_.mass.size(); ++i) below_[i + 1] = below_[i] + b_.mass[i];
}

double CountLaw::Exactly(std::int64_t count) const {
  if (many_) return many_->Exactly(count);
  double sum = 0;
  for (std::size_t i = 0; i < a_.mass.size(); ++i) {
    const std::int64_t left = count - a_.from - static_cast<std::int64_t>(i) - b_.from;
    if (left >= 0 && left < static_cast<std::int64_t>(b_.mass.size())) sum += a_.mass[i] * b_.mass[static_cast<std::size_t>(left)];
  }
  return sum;
}

double CountLaw::AtLeast(std::int64_t count) const {
  if (many_) return many_->AtLeast(count);
  double sum = 0;
  for (std::size_t i = 0; i < a_.mass.size(); ++i) {
    const std::int64_t left = count - a_.from - static_cast<std::int64_t>(i) - b_.from;
    sum += a_.mass[i] * above_[static_cast<std::size_t>(std::clamp<std::int64_t>(left, 0, static_cast<std::int64_t>(b_.mass.size())))];
  }
  return sum;
}

double CountLaw::AtMost(std::int64_t count) const {
  if (many_) return many_->AtMost(count);
  double sum = 0;
  for (std::size_t i = 0; i < a_.mass.size(); ++i) {
    const std::int64_t left = count - a_.from - static_cast<std::int64_t>(i) - b_.from + 1;
    sum += a_.mass[i] * below_[static_cast<std::size_t>(std::clamp<std::int64_t>(left, 0, static_cast<std::int64_t>(b_.mass.size())))];
  }
  return sum;
}

std::int64_t CountLaw::Quantile(double q) const {
  if (many_) return many_->Quantile(q);
  std::int64_t low = a_.from + b_.from, high = low + static_cast<std::int64_t>(a_.mass.size() + b_.mass.size()) - 2;
  while (low < high) {
    const std::int64_t middle = low + (high - low) / 2;
    if (AtMost(middle) >= q) high = middle;
    else low = middle + 1;
  }
  return low;
}

}  // namespace fairlead
