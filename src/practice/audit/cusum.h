// SPDX-License-Identifier: Apache-2.0
// The two charts of a series: the plain story (sum of expected minus happened; no alarm rule of its own) and the
// risk-adjusted cumulative sum, which alarms. Source "ra-cusum-2000".
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "practice/audit/expected.h"

namespace fairlead {

// Weight of one case for "odds multiplied by `factor`" against "as expected".
double CusumWeight(const Judged& judged, double factor);

struct Charts {
  std::vector<double> story;         // after each case: fewer bad events than expected is up
  std::vector<double> story_sd;      // pointwise, not an alarm
  std::vector<double> worse;         // cumulative sum against odds doubled
  std::vector<double> better;        // against odds halved
};
Charts DrawCharts(std::span<const Judged> cases);

// First case (from 0) at which the sum reaches h; `start` is where it begins.
std::optional<std::size_t> FirstSignal(std::span<const Judged> cases, double factor, double h, double start = 0);

// A class of the case mix: its share and its expected chance.
struct MixClass {
  double share = 0;
  double chance = 0;
};

// Cases until the chart against `factor` first reaches h, on average, when all odds are truly multiplied by `truth`:
// by a Markov chain on `states` levels with the mean-preserving split, extrapolated from `states` and twice as many.
double AverageRunLength(double h, std::span<const MixClass> mix, double factor, double truth, int states = 500);

// Chance of at least one signal within `cases` cases.
double ChanceOfSignal(double h, std::span<const MixClass> mix, double factor, double truth, int cases, int states = 1000);

struct Threshold {
  double h = 0;
  double run_length = 0;  // attained in control: with rare events it cannot be met exactly
};
// The lowest threshold whose in-control run length reaches `wanted`.
Threshold ThresholdFor(double wanted, std::span<const MixClass> mix, double factor);

// The mix of a series, its chances rounded to whole hundredths (at least a half) so that it stays small.
std::vector<MixClass> MixOf(std::span<const Judged> cases);
std::vector<MixClass> MixOf(std::span<const JudgedClass> classes);

}  // namespace fairlead
