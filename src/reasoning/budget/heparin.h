// SPDX-License-Identifier: Apache-2.0
// Heparin in one compartment with saturable and slow elimination; ACT a straight line above its baseline; what is
// believed of this patient, updated by each measured ACT on a grid. Times are minutes, amounts IU per kilogram, ACT
// seconds. Its use is to say when the next ACT is worth taking, not to replace it.
#pragma once

#include <optional>
#include <vector>

#include "measure/result.h"

namespace fairlead {

// The kinetics for kappa = 1, from three published half-lives (30, 60, 150 min at 25, 100, 400 IU/kg).
struct HeparinKinetics {
  double km = 0.0;    // IU/kg
  double slow = 0.0;  // per minute
  double vmax = 0.0;  // IU/kg/min
};
HeparinKinetics PublishedKinetics();
double HalfLife(double amount);                     // minutes, seen at that amount
double MinutesDownTo(double from, double to);       // closed form; 0 if `to` is not below `from`
double AmountAfter(double from, double minutes);    // its inverse

struct HeparinBolus {
  double at_min = 0.0;
  double per_kg = 0.0;
};
struct HeparinDrip {
  double from_min = 0.0, to_min = 0.0;
  double per_kg_min = 0.0;
};
struct ActSample {
  double at_min = 0.0;
  double act_s = 0.0;
  bool off_scale = false;  // above what the analyser reads: a lower bound
};

// Properties of the analyser in this room; ACTs of two analysers never meet in one fit.
struct ActScale {
  double slope = 1.6;           // s per IU/kg, the median patient
  double baseline_s = 130.0;
  double baseline_sd_s = 20.0;  // 0: measured before heparin
};

struct HeparinCourse {
  std::vector<HeparinBolus> boluses;  // by time
  std::vector<HeparinDrip> drips;
  std::vector<ActSample> samples;     // by time, of one analyser
  ActScale scale;
  int grid = 161;                     // points a side; half as many where the baseline is a third unknown
};

struct Quantiles {
  double p5 = 0.0, p25 = 0.0, p50 = 0.0, p75 = 0.0, p95 = 0.0;
};

struct HeparinForecast {
  double log_slope = 0.0, log_rate = 0.0;  // the likeliest patient, against the median one
  Quantiles act_now, act_in_30, measured_in_30;  // measured: with the analyser's own error
  double below_now = 0.0, below_in_15 = 0.0, below_in_30 = 0.0;  // chance to be under the target
  std::optional<Quantiles> minutes_to_target;  // 0: under it already; none while a drip runs
  double sample_due_min = 0.0;             // from now: 30, or when the chance to be under it reaches one tenth
  Quantiles top_up;                        // IU/kg that would return to the target now
  Quantiles act_after_top_up;              // the peak after the median top-up
  double per_kg_left = 0.0;                // median amount still in the body
  std::vector<double> misfit;              // log(measured / likeliest) of each sample that was used
  bool suspect = false;                    // a misfit above 0.3, or two samples together that differ by more: sample, line or analyser?
  bool outside = false;                    // the patient lies beyond what the model allows: show the data only
  int used = 0, too_early = 0;             // samples; within 3 min of a bolus they are not used
};

// Forecast at `now_min` against a target. Errors: no heparin before now, numbers that are not finite.
Result<HeparinForecast> ForecastAct(const HeparinCourse& course, double now_min, double target_s);

// The likeliest patient alone: log slope and log rate. Cheap, for rules that ask at every entry.
struct LikeliestPatient {
  double log_slope = 0.0, log_rate = 0.0;
};
LikeliestPatient LikeliestOf(const HeparinCourse& course, double now_min);
// What that patient has in the body, IU/kg, and when the ACT falls to a target, minutes from now (0: it has; none while a
// drip runs or if the target lies at the baseline).
double AmountOf(const HeparinCourse& course, const LikeliestPatient& patient, double now_min);
std::optional<double> MinutesToTarget(const HeparinCourse& course, const LikeliestPatient& patient, double now_min, double target_s);

}  // namespace fairlead
