// SPDX-License-Identifier: Apache-2.0
// The charts along the cases, with the thresholds designed for their mix.
#include <algorithm>
#include <array>
#include <cmath>
#include <future>

#include "practice/audit/audit_parts.h"
#include "practice/audit/letters.h"

namespace fairlead {
namespace {

constexpr double kWantedRunLength = 500;  // cases between false alarms; chosen

std::array<double, 8> WeightsOf(double factor) {
  std::array<double, 8> weights{};
  for (std::size_t i = 0; i < weights.size(); ++i) weights[i] = CusumWeight({.expected = FailureReference().failure[i / 2], .happened = i % 2 == 1}, factor);
  return weights;
}

// Every case in one pass; of very many only those that are drawn are kept. A chart's sum starts anew after each signal.
void Draw(std::string_view letters, Series& series) {
  constexpr std::size_t kMostDrawn = 2'000;
  const std::size_t n = letters.size(), step = std::max<std::size_t>(1, (n + kMostDrawn - 1) / kMostDrawn);
  const auto up = WeightsOf(2), down = WeightsOf(0.5);
  const double h_up = series.worse.h, h_down = series.better.h;
  std::array<double, 8> steps{}, spreads{};
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const double p = FailureReference().failure[i / 2];
    steps[i] = p - static_cast<double>(i % 2), spreads[i] = p * (1 - p);
  }
  double story = 0, variance = 0, worse = 0, better = 0;
  const auto take = [&](std::size_t i) {
    series.at.push_back(i);
    series.charts.story.push_back(story), series.charts.story_sd.push_back(std::sqrt(variance));
    series.charts.worse.push_back(worse), series.charts.better.push_back(better);
  };
  for (std::size_t from = 0; from < n; from += step) {
    const std::size_t end = std::min(n, from + step);  // its last case is drawn
    for (std::size_t i = from; i < end; ++i) {
      const auto letter = static_cast<std::size_t>(letters[i] - 'a');
      story += steps[letter], variance += spreads[letter];
      worse = std::max(0.0, worse + up[letter]), better = std::max(0.0, better + down[letter]);
      const bool last = i + 1 == end;
      if (worse < h_up && better < h_down) [[likely]] {
        if (last) take(i);
        continue;
      }
      const bool is_worse = !(worse < h_up), is_better = !(better < h_down);
      const bool few = (is_worse && series.worse_signals.size() < kMostDrawn) || (is_better && series.better_signals.size() < kMostDrawn);
      if (last || few) take(i);
      if (is_worse) series.worse_signals.push_back(i), worse = 0;
      if (is_better) series.better_signals.push_back(i), better = 0;
    }
  }
}

}  // namespace

Series SeriesOf(const std::vector<JudgedClass>& classes, std::string_view letters, const std::function<std::string(std::size_t)>& id) {
  Series series;
  series.judged = letters.size();
  const auto mix = MixOf(classes);
  std::future<Threshold> better = std::async(std::launch::async, [&mix] { return ThresholdFor(kWantedRunLength, mix, 0.5); });
  series.worse = ThresholdFor(kWantedRunLength, mix, 2);
  series.better = better.get();
  Draw(letters, series);
  for (const std::size_t i : series.at) series.cases.push_back(id(i));
  series.false_alarm_in_50 = ChanceOfSignal(series.worse.h, mix, 2, 1, kSignalWindow, 400);
  series.seen_in_50 = ChanceOfSignal(series.worse.h, mix, 2, 2, kSignalWindow, 400);
  return series;
}

}  // namespace fairlead
