// SPDX-License-Identifier: Apache-2.0
#include "reasoning/budget/heparin.h"

#include <algorithm>
#include <cstddef>
#include <array>
#include <cmath>
#include <numbers>

#include "measure/source.h"

namespace fairlead {
namespace {

// Half-lives seen after a bolus: Chest 2012;141(2 Suppl):e24S-e43S, "heparin-2012"_source.
constexpr std::array<double, 3> kAmounts = {25.0, 100.0, 400.0}, kHalfLives_min = {30.0, 60.0, 150.0};

// ln 2 / T = Vm / (Km + A) + k at three amounts is linear in Km and k once differences are taken.
HeparinKinetics Solve() {
  std::array<double, 3> rate{};
  for (std::size_t i = 0; i < 3; ++i) rate[i] = std::numbers::ln2 / kHalfLives_min[i];
  const double a = rate[0] - rate[1], b = kAmounts[1] - kAmounts[0], e = rate[1] * kAmounts[1] - rate[0] * kAmounts[0];
  const double c = rate[1] - rate[2], d = kAmounts[2] - kAmounts[1], f = rate[2] * kAmounts[2] - rate[1] * kAmounts[1];
  const double det = a * d - b * c;
  // (rate_i - k)(Km + A_i) is one Vm: Km (rate_0 - rate_1) + k (A_1 - A_0) = rate_1 A_1 - rate_0 A_0.
  const double km = (e * d - b * f) / det, k = (a * f - e * c) / det;
  return {km, k, (rate[0] - k) * (km + kAmounts[0])};
}

}  // namespace

HeparinKinetics PublishedKinetics() {
  static const HeparinKinetics kinetics = Solve();
  return kinetics;
}

double HalfLife(double amount) {
  const HeparinKinetics k = PublishedKinetics();
  return std::numbers::ln2 / (k.vmax / (k.km + amount) + k.slow);
}

double MinutesDownTo(double from, double to) {
  if (!(to < from)) return 0.0;
  const HeparinKinetics k = PublishedKinetics();
  const double alpha = k.vmax + k.slow * k.km;
  return k.km / alpha * std::log(from / to) + k.vmax / (alpha * k.slow) * std::log((alpha + k.slow * from) / (alpha + k.slow * to));
}

// Newton in log A: the time is concave and falling in it, so that steps from above never pass the root.
double AmountAfter(double from, double minutes) {
  if (!(minutes > 0.0) || !(from > 0.0)) return from;
  const HeparinKinetics k = PublishedKinetics();
  double log_amount = std::log(from) - minutes * (k.vmax / (k.km + from) + k.slow);
  const double lowest = std::log(from) - minutes * (k.vmax / k.km + k.slow) - 1.0;
  for (int step = 0; step < 60; ++step) {
    const double amount = std::exp(log_amount);
    const double over = MinutesDownTo(from, amount) - minutes;
    const double change = over * (k.vmax / (k.km + amount) + k.slow);
    log_amount = std::max(log_amount + change, lowest);
    if (std::abs(change) < 1e-13) break;
  }
  return std::exp(log_amount);
}

}  // namespace fairlead
