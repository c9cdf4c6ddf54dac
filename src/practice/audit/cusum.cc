// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/cusum.h"

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

constexpr double kLeast = 1e-6;
double Clamped(double p) { return std::clamp(p, kLeast, 1 - kLeast); }

std::vector<double> Climb(std::span<const Judged> cases, double factor) {
  std::vector<double> sums;
  sums.reserve(cases.size());
  double sum = 0;
  for (const Judged& each : cases) sums.push_back(sum = std::max(0.0, sum + CusumWeight(each, factor)));
  return sums;
}

}  // namespace

double CusumWeight(const Judged& judged, double factor) {
  const double p = Clamped(judged.expected);
  return (judged.happened ? std::log(factor) : 0.0) - std::log1p((factor - 1) * p);
}

Charts DrawCharts(std::span<const Judged> cases) {
  Charts charts;
  charts.worse = Climb(cases, 2);
  charts.better = Climb(cases, 0.5);
  double sum = 0, variance = 0;
  for (const Judged& each : cases) {
    sum += each.expected - (each.happened ? 1 : 0);
    variance += each.expected * (1 - each.expected);
    charts.story.push_back(sum);
    charts.story_sd.push_back(std::sqrt(variance));
  }
  return charts;
}

std::optional<std::size_t> FirstSignal(std::span<const Judged> cases, double factor, double h, double start) {
  double sum = start;
  for (std::size_t i = 0; i < cases.size(); ++i) {
    sum = std::max(0.0, sum + CusumWeight(cases[i], factor));
    if (sum >= h) return i;
  }
  return std::nullopt;
}

std::vector<MixClass> MixOf(std::span<const Judged> cases) { return MixOf(ClassesJudged(cases)); }

std::vector<MixClass> MixOf(std::span<const JudgedClass> classes) {
  std::vector<double> counts(101, 0.0);
  double all = 0;
  for (const JudgedClass& each : classes) {
    counts[static_cast<std::size_t>(std::lround(Clamped(each.expected) * 100))] += static_cast<double>(each.cases);
    all += static_cast<double>(each.cases);
  }
  std::vector<MixClass> mix;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (counts[i] == 0) continue;
    const double chance = std::clamp(static_cast<double>(i) / 100, 0.005, 0.995);
    mix.push_back({.share = counts[i] / all, .chance = chance});
  }
  return mix;
}

}  // namespace fairlead
