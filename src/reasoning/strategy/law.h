// SPDX-License-Identifier: Apache-2.0
// The clock of a crossing attempt: how long a strategy takes, given that it can cross this lesion at all.
#pragma once

#include <vector>

namespace fairlead {

enum class LawKind {
  kExponential,  // S = exp(-t / scale)
  kWeibull,      // S = exp(-(t / scale)^shape)
  kGammaMixed,   // S = (1 + t / scale)^-shape: exponential with a rate that is itself gamma distributed
  kTable,        // S on a grid, straight lines between its points: a sum of phases
};

struct ClockLaw {
  LawKind kind = LawKind::kExponential;
  double scale_min = 1.0;       // of kTable: one step of the grid
  double shape = 1.0;
  std::vector<double> table{};  // of kTable: S(0) = 1, S(step), ...; never rises
  double elapsed_min = 0.0;     // already tried: what follows is conditional on not having crossed by then
};

// Share not yet crossed after `minutes` more, among those that can be crossed: S(elapsed + minutes) / S(elapsed).
double Survival(const ClockLaw& law, double minutes);

// Density of the crossing time over survival at that moment, per minute, among those that can be crossed.
double CrossingRate(const ClockLaw& law, double minutes);

// Integral of S(t) exp(-hazard t) from 0 to d, for d = 0, 1, ..., `most` minutes. Closed for the exponential law, else
// Gauss-Legendre with 16 nodes a minute (finer in the first, where shapes below 1 are steep).
std::vector<double> Exposures(const ClockLaw& law, double hazard_per_min, int most);

// The time of several phases, one after another, as a table of `steps` steps. Phases are independent given that all can
// be passed.
ClockLaw SumOfPhases(const std::vector<ClockLaw>& phases, double step_min, int steps);

// A log-normal time as a table (median in minutes; sigma of the log).
ClockLaw LogNormalTable(double median_min, double sigma, double step_min, int steps);

// The minute by which half of those that can be crossed are.
double MedianMinutes(const ClockLaw& law);

}  // namespace fairlead
