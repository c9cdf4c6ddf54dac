// SPDX-License-Identifier: Apache-2.0
// Funnel limits for shares of unequal numbers of cases, exact with interpolation (source "funnel-2005"), and what is left
// when units differ more than chance alone makes them (source "overdispersion-2005"). Never a league table.
#pragma once

#include <span>
#include <vector>

#include "measure/source.h"
#include "practice/audit/expected.h"

namespace fairlead {

inline constexpr double kFunnelTails[] = {0.001, 0.025, 0.975, 0.999};

// The share below which a unit of n cases stays with chance q if its true share is `target`.
double FunnelLimit(std::int64_t n, double target, double q);
// The same for observed / expected, from the unit's own expected chances.
double RatioLimit(std::span<const double> chances, double q);
// The same at once for each of `tails`, where cases share few chances.
std::vector<double> RatioLimits(std::span<const ChanceClass> classes, std::span<const double> tails);

struct Spread {
  double phi = 1;             // mean squared z
  double phi_winsorised = 1;  // with z cut at its own tenth and ninetieth hundredth
  double between_variance = 0;             // added to each unit's own, from phi
  double between_variance_winsorised = 0;
  bool beyond_chance = false;  // phi > 1 + 2 sqrt(2 / units)
  SourceId source = "overdispersion-2005"_source;
};
// Refused: fewer than 10 units, a unit without cases, no event at all or only events.
Result<Spread> SpreadBetween(std::span<const Count> units);

// The same of observed / expected: of each unit what was seen, what was expected and the variance of the count. The variance
// between is that of the ratio. Refused: fewer than 10 units, one that expects nothing.
struct RatioUnit {
  double observed = 0, expected = 0, variance = 0;
};
Result<Spread> SpreadOfRatios(std::span<const RatioUnit> units);

// Each unit's share drawn towards the common one: beta-binomial, by maximum likelihood.
struct Shrunk {
  double mean = 0;
  Interval interval;      // 95 %; ignores the error of the common law: with fewer than 20 units it is too narrow
  double drawn_in = 0;    // 0: the unit's own share, 1: the common one
};
struct Shrinkage {
  double common = 0;
  double weight = 0;  // in cases: how firmly the common share holds
  double log_likelihood = 0;
  std::vector<Shrunk> units;
};
// Refused: fewer than 3 units, a unit without cases.
Result<Shrinkage> ShrinkShares(std::span<const Count> units);

}  // namespace fairlead
