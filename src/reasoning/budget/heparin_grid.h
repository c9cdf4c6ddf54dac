// SPDX-License-Identifier: Apache-2.0
// What one patient's samples say of the slope and the rate, as weights on a grid. Inside this room only.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "measure/source.h"
#include "reasoning/budget/heparin.h"

namespace fairlead {

// Between-patient spread: sensitivity 25 % and plasma volume 14 % together (Anesthesiology 1975;43:346-353,
// "heparin-1975"_source); clearance variance 0.122 (J Transl Med 2015;13:45, "heparin-2015"_source); residual of the
// log: method 6 % and misfit.
inline constexpr double kSlopeSd = 0.30, kRateSd = 0.35, kResidualSd = 0.08;
inline constexpr double kSuspectLog = 0.3;

struct ActPoint {
  double at_min, log_act, sd;
  bool bound;  // at least this much
};

// Samples that count: mixed, and those taken together made one. What was left out is counted in `forecast`.
std::vector<ActPoint> ActPoints(const HeparinCourse& course, double now_min, HeparinForecast& forecast);
// Boluses, and each minute of a drip as a small one.
std::vector<HeparinBolus> HeparinGifts(const HeparinCourse& course, double until_min);
// In the body, IU/kg, at each of the times (ascending), for one rate.
std::vector<double> HeparinAmounts(std::span<const HeparinBolus> gifts, std::span<const double> times_min, double kappa);
double ActLogLikelihood(const ActPoint& reading, double log_model);

struct HeparinCell {
  double slope, base, weight;
  std::size_t rate;
};

struct HeparinGrid {
  std::vector<double> log_rates, log_slopes, baselines;
  std::vector<std::vector<double>> amounts;  // of each rate: at the readings, then now, in 15, in 30 min
  std::vector<HeparinCell> cells;                   // those that weigh anything; weights add up to 1
};

HeparinGrid MakeHeparinGrid(const HeparinCourse& course, std::span<const ActPoint> readings, double now_min);
void WeighHeparin(HeparinGrid& grid, const HeparinCourse& course, std::span<const ActPoint> readings);

}  // namespace fairlead
