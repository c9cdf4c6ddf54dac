// SPDX-License-Identifier: Apache-2.0
// Figures that stand at the head of the audit: quartiles with what they are worth, and how sure a difference is.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "practice/audit/audit_parts.h"
#include "practice/audit/laws.h"

namespace fairlead {
namespace {

// Brings each place of `places` (ascending) to where it would be if all were sorted: two scans a doubling of the places.
void PutInPlace(std::vector<double>& values, std::size_t from, std::size_t to, std::span<const std::size_t> places) {
  if (places.empty() || from >= to) return;
  const std::size_t half = places.size() / 2, place = places[half];
  const auto at = [&](std::size_t i) { return values.begin() + static_cast<std::ptrdiff_t>(i); };
  std::nth_element(at(from), at(place), at(to));
  PutInPlace(values, from, place, places.first(half));
  PutInPlace(values, place + 1, to, places.subspan(half + 1));
}

}  // namespace

namespace {

// Which places of the order a quartile and the ends of its interval stand in.
struct Wanted {
  double place = 0;                  // type 7
  std::size_t below = 0, above = 0;
  std::int64_t first = 0, last = 0;  // ranks of the ends, from 1; 0 or beyond the last: none
};
std::array<Wanted, 3> WantedOf(std::size_t cases) {
  constexpr double kShares[] = {0.25, 0.5, 0.75}, kTail = 0.025;
  const auto n = static_cast<std::int64_t>(cases);
  std::array<Wanted, 3> wanted;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    Wanted& one = wanted[i];
    one.place = kShares[i] * static_cast<double>(cases - 1);
    one.below = static_cast<std::size_t>(one.place), one.above = std::min(one.below + 1, cases - 1);
    one.first = BinomialQuantile(kTail, n, kShares[i]), one.last = BinomialQuantile(1 - kTail, n, kShares[i]) + 1;
  }
  return wanted;
}

}  // namespace

Quartiles QuartilesAt(std::size_t cases, const std::function<double(std::size_t place)>& at) {
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  Quartiles found;
  found.cases = cases;
  if (cases == 0) return found;
  const auto wanted = WantedOf(cases);
  const auto value = [&](const Wanted& one) {
    const double below = at(one.below);
    return below + (one.place - static_cast<double>(one.below)) * (at(one.above) - below);
  };
  const auto within = [&](const Wanted& one) {
    return Interval{one.first >= 1 ? at(static_cast<std::size_t>(one.first - 1)) : -kInfinity,
                    one.last <= static_cast<std::int64_t>(cases) ? at(static_cast<std::size_t>(one.last - 1)) : kInfinity};
  };
  found.low = value(wanted[0]), found.middle = value(wanted[1]), found.high = value(wanted[2]);
  found.low_within = within(wanted[0]), found.middle_within = within(wanted[1]), found.high_within = within(wanted[2]);
  return found;
}

Quartiles QuartilesOf(std::vector<double> values) {
  if (values.empty()) return {};
  std::vector<std::size_t> places;
  for (const Wanted& one : WantedOf(values.size())) {
    places.push_back(one.below), places.push_back(one.above);
    if (one.first >= 1) places.push_back(static_cast<std::size_t>(one.first - 1));
    if (one.last <= static_cast<std::int64_t>(values.size())) places.push_back(static_cast<std::size_t>(one.last - 1));
  }
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end()), places.end());
  PutInPlace(values, 0, values.size(), places);
  return QuartilesAt(values.size(), [&](std::size_t place) { return values[place]; });
}

// By the trapezium rule over ten standard deviations to either side of the top.
OddsBelief BelieveOdds(std::span<const JudgedClass> classes) {
  constexpr double kPriorSd = 0.5;
  constexpr int kSteps = 8'000;
  const auto height = [&](double t) {  // logarithm of prior times likelihood
    double sum = -t * t / (2 * kPriorSd * kPriorSd);
    for (const JudgedClass& each : classes) {
      const double eta = Logit(std::clamp(each.expected, 1e-6, 1 - 1e-6)) + t;
      sum += static_cast<double>(each.events) * eta - static_cast<double>(each.cases) * LogOnePlusExp(eta);
    }
    return sum;
  };
  double top = 0, information = 1;
  for (int step = 0; step < 60; ++step) {
    double slope = -top / (kPriorSd * kPriorSd);
    information = 1 / (kPriorSd * kPriorSd);
    for (const JudgedClass& each : classes) {
      const double p = Logistic(Logit(std::clamp(each.expected, 1e-6, 1 - 1e-6)) + top);
      slope += static_cast<double>(each.events) - static_cast<double>(each.cases) * p, information += static_cast<double>(each.cases) * p * (1 - p);
    }
    const double change = std::clamp(slope / information, -1.0, 1.0);  // a step too far would overshoot where the curve is flat
    top += change;
    if (std::abs(change) < 1e-12) break;
  }
  const double width = 20 / std::sqrt(information) / kSteps, from = top - width * kSteps / 2, highest = height(top);
  std::vector<double> mass(kSteps + 1);
  double all = 0;
  for (int i = 0; i <= kSteps; ++i) mass[static_cast<std::size_t>(i)] = std::exp(height(from + i * width) - highest);
  for (int i = 0; i < kSteps; ++i) all += (mass[static_cast<std::size_t>(i)] + mass[static_cast<std::size_t>(i) + 1]) / 2;
  const auto above = [&](double t) {
    const double at = (t - from) / width;
    if (at <= 0) return 1.0;
    if (at >= kSteps) return 0.0;
    const auto first = static_cast<std::size_t>(at);
    const double part = at - static_cast<double>(first), here = mass[first] + part * (mass[first + 1] - mass[first]);
    double sum = (1 - part) * (here + mass[first + 1]) / 2;
    for (std::size_t i = first + 1; i < kSteps; ++i) sum += (mass[i] + mass[i + 1]) / 2;
    return sum / all;
  };
  return {.above = above(0), .half_more = above(std::log(1.5)), .doubled = above(std::log(2)), .third_less = 1 - above(-std::log(1.5))};
}

}  // namespace fairlead
