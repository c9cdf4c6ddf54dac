// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/law.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace fairlead {
namespace {

// Nodes and weights of 16-point Gauss-Legendre on [-1, 1], positive half: Abramowitz and Stegun, table 25.4.
constexpr std::array<double, 8> kNodes = {0.0950125098376374402, 0.2816035507792589132, 0.4580167776572273863,
                                          0.6178762444026437484, 0.7554044083550030338, 0.8656312023878317438,
                                          0.9445750230732325761, 0.9894009349916499326};
constexpr std::array<double, 8> kWeights = {0.1894506104550684963, 0.1826034150449235888, 0.1691565193950025382,
                                            0.1495959888165767321, 0.1246289712555338720, 0.0951585116824927848,
                                            0.0622535239386478929, 0.0271524594117540949};

template <typename Function>
double Integral(double from, double to, const Function& f) {
  const double middle = 0.5 * (from + to), half = 0.5 * (to - from);
  double sum = 0.0;
  for (std::size_t i = 0; i < kNodes.size(); ++i) {
    sum += kWeights[i] * (f(middle - half * kNodes[i]) + f(middle + half * kNodes[i]));
  }
  return half * sum;
}

double TableAt(const ClockLaw& law, double t) {
  if (law.table.empty()) return 1.0;
  const double place = t / law.scale_min;
  const double last = static_cast<double>(law.table.size() - 1);
  if (!(place < last)) return law.table.back();
  const auto i = static_cast<std::size_t>(place);
  const double share = place - static_cast<double>(i);
  return law.table[i] + share * (law.table[i + 1] - law.table[i]);
}

// S without regard to what has elapsed.
double FromStart(const ClockLaw& law, double t) {
  switch (law.kind) {
    case LawKind::kExponential:
      return std::exp(-t / law.scale_min);
    case LawKind::kWeibull:
      return std::exp(-std::pow(t / law.scale_min, law.shape));
    case LawKind::kGammaMixed:
      return std::exp(-law.shape * std::log1p(t / law.scale_min));
    case LawKind::kTable:
      return TableAt(law, t);
  }
  return 1.0;
}

// Most of the time of a sum of phases; the two never overlap.
void AddTimes(double* __restrict sum, const double* __restrict own, double mass, std::size_t count) {
  for (std::size_t j = 0; j < count; ++j) sum[j] += mass * own[j];
}

// The first minute in pieces that halve towards zero; the innermost with t = u^m, which smooths t^shape there.
double FirstMinute(const ClockLaw& law, double hazard) {
  const auto f = [&](double t) { return Survival(law, t) * std::exp(-hazard * t); };
  constexpr double kInnermost = 0x1p-10;
  double sum = 0.0;
  for (double from = kInnermost; from < 1.0; from *= 2.0) sum += Integral(from, 2.0 * from, f);
  const double m = std::ceil(4.0 / std::min(1.0, law.shape));
  const double edge = std::pow(kInnermost, 1.0 / m);
  return sum + Integral(0.0, edge, [&](double u) { return f(std::pow(u, m)) * m * std::pow(u, m - 1.0); });
}

}  // namespace

double Survival(const ClockLaw& law, double minutes) {
  if (law.elapsed_min <= 0.0) return FromStart(law, minutes);
  if (law.kind == LawKind::kExponential) return FromStart(law, minutes);
  if (law.kind == LawKind::kWeibull) {
    const double a = law.elapsed_min / law.scale_min, b = (law.elapsed_min + minutes) / law.scale_min;
    return std::exp(std::pow(a, law.shape) - std::pow(b, law.shape));
  }
  const double before = FromStart(law, law.elapsed_min);
  return before > 0.0 ? FromStart(law, law.elapsed_min + minutes) / before : 0.0;
}

double CrossingRate(const ClockLaw& law, double minutes) {
  const double t = law.elapsed_min + minutes;
  switch (law.kind) {
    case LawKind::kExponential:
      return 1.0 / law.scale_min;
    case LawKind::kWeibull:
      return law.shape / law.scale_min * std::pow(t / law.scale_min, law.shape - 1.0);
    case LawKind::kGammaMixed:
      return law.shape / (law.scale_min + t);
    case LawKind::kTable: {
      const double here = TableAt(law, t), soon = TableAt(law, t + law.scale_min);
      return here > 0.0 ? (here - soon) / (law.scale_min * here) : 0.0;
    }
  }
  return 0.0;
}

std::vector<double> Exposures(const ClockLaw& law, double hazard_per_min, int most) {
  std::vector<double> sums(static_cast<std::size_t>(most) + 1, 0.0);
  if (law.kind == LawKind::kExponential) {
    const double rate = 1.0 / law.scale_min + hazard_per_min;
    for (int d = 1; d <= most; ++d) sums[static_cast<std::size_t>(d)] = -std::expm1(-rate * d) / rate;
    return sums;
  }
  const auto f = [&](double t) { return Survival(law, t) * std::exp(-hazard_per_min * t); };
  for (int d = 1; d <= most; ++d) {
    double minute = 0.0;
    if (law.kind == LawKind::kTable) {  // straight lines: the trapezium on quarters of a minute is what the table carries
      for (int q = 0; q < 4; ++q) minute += 0.125 * (f(d - 1 + 0.25 * q) + f(d - 1 + 0.25 * (q + 1)));
    } else {
      minute = d == 1 ? FirstMinute(law, hazard_per_min) : Integral(d - 1.0, d, f);
    }
    sums[static_cast<std::size_t>(d)] = sums[static_cast<std::size_t>(d) - 1] + minute;
  }
  return sums;
}

ClockLaw SumOfPhases(const std::vector<ClockLaw>& phases, double step_min, int steps) {
  const auto n = static_cast<std::size_t>(steps);
  std::vector<double> mass(n, 0.0);  // of crossing in step i, placed at its end; what is beyond the table is lost
  mass[0] = 1.0;
  bool first = true;
  for (const ClockLaw& phase : phases) {
    std::vector<double> own(n, 0.0), sum(n, 0.0);
    double before = Survival(phase, 0.0);
    for (std::size_t i = 0; i < n; ++i) {  // centred on the grid, so that the sum of phases keeps its mean
      const double after = Survival(phase, (static_cast<double>(i) + 0.5) * step_min);
      own[i] = before - after;
      before = after;
    }
    if (first) sum = own;
    else
      for (std::size_t i = 0; i < n; ++i) {
        if (mass[i] >= 1e-14) AddTimes(sum.data() + i, own.data(), mass[i], n - i);
      }
    mass = std::move(sum);
    first = false;
  }
  ClockLaw law{LawKind::kTable, step_min, 1.0, {}, 0.0};
  law.table.resize(n + 1);
  double left = 1.0;
  for (std::size_t i = 0; i < n; ++i) {
    law.table[i] = i == 0 ? 1.0 : std::max(0.0, left - 0.5 * mass[i]);  // half of the mass on a point lies behind it
    left -= mass[i];
  }
  law.table[n] = std::max(0.0, left);
  return law;
}

ClockLaw LogNormalTable(double median_min, double sigma, double step_min, int steps) {
  ClockLaw law{LawKind::kTable, step_min, 1.0, {}, 0.0};
  law.table.resize(static_cast<std::size_t>(steps) + 1);
  law.table[0] = 1.0;
  for (int i = 1; i <= steps; ++i) {
    const double z = std::log(i * step_min / median_min) / sigma;
    law.table[static_cast<std::size_t>(i)] = 0.5 * std::erfc(z / std::numbers::sqrt2);
  }
  return law;
}

double MedianMinutes(const ClockLaw& law) {
  double low = 0.0, high = 1.0;
  while (Survival(law, high) > 0.5 && high < 1e6) high *= 2.0;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (Survival(law, middle) > 0.5 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace fairlead
