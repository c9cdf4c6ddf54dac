// SPDX-License-Identifier: Apache-2.0
// Area under the curve with the variance of its placement values, Brier's score, and groups for the calibration picture.
#include <algorithm>
#include <cmath>
#include <numeric>

#include "practice/audit/calibration.h"
#include "practice/audit/laws.h"

namespace fairlead {
namespace {

double SampleVariance(const std::vector<double>& values) {
  const double n = static_cast<double>(values.size()), mean = std::accumulate(values.begin(), values.end(), 0.0) / n;
  double sum = 0;
  for (const double value : values) sum += (value - mean) * (value - mean);
  return sum / (n - 1);
}

// Share of the sorted others below each value, ties counted half.
std::vector<double> Placements(const std::vector<double>& values, const std::vector<double>& others, bool above) {
  std::vector<double> placed;
  for (const double value : values) {
    const auto [first, last] = std::equal_range(others.begin(), others.end(), value);
    const auto below = static_cast<double>(first - others.begin()) + static_cast<double>(last - first) / 2;
    const double share = below / static_cast<double>(others.size());
    placed.push_back(above ? 1 - share : share);
  }
  return placed;
}

}  // namespace

Result<Discrimination> AreaUnderCurve(std::span<const Judged> cases) {
  std::vector<double> events, others;
  for (const Judged& each : cases) (each.happened ? events : others).push_back(each.expected);
  if (events.size() < 5 || others.size() < 5) {
    return Error{"fewer than 5 cases with, or without, the event", "", "gather more cases before asking how well the score sorts them"};
  }
  std::sort(events.begin(), events.end()), std::sort(others.begin(), others.end());
  const auto of_events = Placements(events, others, false), of_others = Placements(others, events, true);
  Discrimination found;
  found.area = std::accumulate(of_events.begin(), of_events.end(), 0.0) / static_cast<double>(events.size());
  found.sd = std::sqrt(SampleVariance(of_events) / static_cast<double>(events.size()) + SampleVariance(of_others) / static_cast<double>(others.size()));
  found.perfect = found.area <= 0 || found.area >= 1;
  if (found.perfect) return found;
  const double centre = Logit(found.area), half = kZ95 * found.sd / (found.area * (1 - found.area));
  found.interval = {Logistic(centre - half), Logistic(centre + half)};
  return found;
}

Result<Brier> BrierScore(std::span<const Judged> cases) {
  if (cases.size() < 2) return Error{"fewer than 2 cases", "", "choose a wider slice"};
  const double n = static_cast<double>(cases.size());
  std::vector<double> errors;
  double mean = 0, expected = 0, pull = 0, pull_variance = 0;
  for (const Judged& each : cases) {
    const double p = each.expected, y = each.happened ? 1 : 0, lean = 1 - 2 * p;
    errors.push_back((p - y) * (p - y));
    mean += y / n, expected += p * (1 - p) / n;
    pull += (y - p) * lean, pull_variance += lean * lean * p * (1 - p);
  }
  Brier brier;
  brier.score = std::accumulate(errors.begin(), errors.end(), 0.0) / n;
  brier.sd = std::sqrt(SampleVariance(errors) / n);
  brier.expected = expected;
  brier.scaled = mean > 0 && mean < 1 ? 1 - brier.score / (mean * (1 - mean)) : 0;
  brier.z = pull_variance > 0 ? pull / std::sqrt(pull_variance) : 0;
  return brier;
}

std::vector<CalibrationGroup> CalibrationGroups(std::span<const Judged> cases, int groups) {
  std::vector<Judged> sorted(cases.begin(), cases.end());
  std::stable_sort(sorted.begin(), sorted.end(), [](const Judged& a, const Judged& b) { return a.expected < b.expected; });
  std::vector<CalibrationGroup> cut(static_cast<std::size_t>(std::max(1, groups)));
  for (std::size_t i = 0; i < sorted.size(); ++i) {
    const std::size_t at = ((i + 1) * cut.size() + sorted.size() - 1) / sorted.size() - 1;  // ceil(rank g / n), from 0
    cut[at].cases += 1, cut[at].events += sorted[i].happened ? 1 : 0, cut[at].expected += sorted[i].expected;
  }
  return cut;
}

}  // namespace fairlead
