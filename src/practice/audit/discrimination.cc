// SPDX-License-Identifier: Apache-2.0
// Area under the curve with the variance of its placement values, Brier's score, and groups for the calibration picture.
#include <algorithm>
#include <cmath>

#include "practice/audit/calibration.h"
#include "practice/audit/laws.h"

namespace fairlead {
namespace {

// Of values that each stand for many cases: the sample variance.
struct Weighted {
  double value = 0, cases = 0;
};
double MeanOf(const std::vector<Weighted>& values) {
  double sum = 0, cases = 0;
  for (const Weighted& each : values) sum += each.cases * each.value, cases += each.cases;
  return sum / cases;
}
double SampleVariance(const std::vector<Weighted>& values) {
  const double mean = MeanOf(values);
  double sum = 0, cases = 0;
  for (const Weighted& each : values) sum += each.cases * (each.value - mean) * (each.value - mean), cases += each.cases;
  return sum / (cases - 1);
}

}  // namespace

Result<Discrimination> AreaUnderCurve(std::span<const Judged> cases) { return AreaUnderCurve(ClassesJudged(cases)); }
Result<Brier> BrierScore(std::span<const Judged> cases) { return BrierScore(ClassesJudged(cases)); }

Result<Discrimination> AreaUnderCurve(std::span<const JudgedClass> classes) {
  double events = 0, others = 0;
  for (const JudgedClass& each : classes) events += static_cast<double>(each.events), others += static_cast<double>(each.cases - each.events);
  if (events < 5 || others < 5) {
    return Error{"fewer than 5 cases with, or without, the event", "", "gather more cases before asking how well the score sorts them"};
  }
  // Share of the others below each class, ties counted half.
  std::vector<Weighted> of_events, of_others;
  double events_below = 0, others_below = 0;
  for (const JudgedClass& each : classes) {
    const double e = static_cast<double>(each.events), o = static_cast<double>(each.cases - each.events);
    of_events.push_back({(others_below + o / 2) / others, e});
    of_others.push_back({1 - (events_below + e / 2) / events, o});
    events_below += e, others_below += o;
  }
  Discrimination found;
  found.area = MeanOf(of_events);
  found.sd = std::sqrt(SampleVariance(of_events) / events + SampleVariance(of_others) / others);
  found.perfect = found.area <= 0 || found.area >= 1;
  if (found.perfect) return found;
  const double centre = Logit(found.area), half = kZ95 * found.sd / (found.area * (1 - found.area));
  found.interval = {Logistic(centre - half), Logistic(centre + half)};
  return found;
}

Result<Brier> BrierScore(std::span<const JudgedClass> classes) {
  double n = 0;
  for (const JudgedClass& each : classes) n += static_cast<double>(each.cases);
  if (n < 2) return Error{"fewer than 2 cases", "", "choose a wider slice"};
  std::vector<Weighted> errors;
  double mean = 0, expected = 0, pull = 0, pull_variance = 0;
  for (const JudgedClass& each : classes) {
    const double p = each.expected, lean = 1 - 2 * p, y = static_cast<double>(each.events), all = static_cast<double>(each.cases);
    errors.push_back({(1 - p) * (1 - p), y}), errors.push_back({p * p, all - y});
    mean += y / n, expected += all * p * (1 - p) / n;
    pull += (y - all * p) * lean, pull_variance += all * lean * lean * p * (1 - p);
  }
  Brier brier;
  brier.score = MeanOf(errors);
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
