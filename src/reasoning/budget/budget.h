// SPDX-License-Identifier: Apache-2.0
// What the run consumes: used, limit less the reserve that finishing costs, and when it is reached at the recent rate.
// Every forecast is "at this rate" with its spread; a rate before there are readings is a published prior, not yours.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "casebook/run/run_state.h"
#include "reasoning/budget/limits.h"
#include "reasoning/budget/patient.h"

namespace fairlead {

struct RunBand {
  double low = 0.0, mid = 0.0, high = 0.0;  // 5, 50, 95 %
};

struct RunRate {
  RunBand per_min;
  bool prior = false;  // published or assumed, not of this run
  int readings = 0;    // that it is made of
};

struct Budget {
  std::optional<double> used;
  std::optional<Instant> used_at;       // of the last reading: its age is shown
  std::optional<double> limit;
  std::string limit_says;               // "3.7 x kidney function 53"
  double reserve = 0.0;
  std::optional<double> left;           // limit - reserve - used; below 0 once the reserve is eaten into
  std::optional<RunRate> rate;
  std::optional<RunBand> minutes_left;     // until limit - reserve; 0 if it is behind
  int band = 0;                         // of contrast: ratios passed; of kerma: whole steps (3, 5, 7 Gy) passed
};

struct RunBudgets {
  Budget time, contrast, air_kerma, kerma_area, fluoro;
  std::optional<double> contrast_to_kidney;  // the ratio
  double earlier_contrast_ml = 0.0;          // of other visits within 7 days, shown beside
  double earlier_kerma_gy = 0.0;             // within 60 days
};

// The recent rate: increments of the last 20 minutes as jumps of a compound Poisson process, whose sum has the variance
// sum of squares; log-normal with that relative spread. `until` closes the window: now, or the last reading of a
// console. None with fewer than three readings in the window.
std::optional<RunRate> RecentRate(std::span<const At<double>> sums, Instant until);

// Minutes until `left` is used at that rate.
RunBand MinutesLeft(double left, const RunRate& rate);

RunBudgets BudgetsOf(const RunState& run, const RunPatient& patient, const RunLimits& limits, Instant now);

// From the first puncture, or the session's start, to its end or now.
std::optional<double> ProcedureMinutes(const RunState& run, Instant now);

}  // namespace fairlead
