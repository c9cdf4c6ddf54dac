// SPDX-License-Identifier: Apache-2.0
// Heparin and ACT of the run: the last sample with its age, the bands of its analyser, the forecast with its interval.
#pragma once

#include <optional>
#include <string>

#include "casebook/run/run_state.h"
#include "reasoning/budget/budget.h"
#include "reasoning/budget/heparin.h"

namespace fairlead {

struct Anticoagulation {
  char analyser = 'H';
  bool analyser_changed = false;        // numbers of two analysers do not compare
  ActTargets bands;
  double target_s = 0.0;                // retrograde while gear is retrograde, else antegrade
  std::optional<At<ActReading>> last;
  std::optional<double> age_min;        // of the last sample
  std::optional<Instant> awaited;       // sent, not read
  std::optional<double> units, units_per_kg;
  std::optional<HeparinForecast> forecast;
  std::string no_forecast;              // why there is none
  std::optional<RunBand> return_iu;        // what would return to the target, rounded to 500; only where nothing forbids it
  std::string no_return;                // what forbids it
};

Anticoagulation AnticoagulationOf(const RunState& run, const RunPatient& patient, const RunLimits& limits, Instant now);

char FamilyOf(const At<ActReading>& act, const RunLimits& limits);
double TargetOf(const RunState& run, const RunLimits& limits, char analyser);
// The course since the first heparin, minutes counted from it. None without heparin or weight.
struct DatedCourse {
  HeparinCourse course;
  Instant start;
};
std::optional<DatedCourse> CourseOf(const RunState& run, const RunPatient& patient, const RunLimits& limits);

}  // namespace fairlead
