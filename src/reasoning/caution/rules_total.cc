// SPDX-License-Identifier: Apache-2.0
// S-14 to S-25: contrast, air kerma, fluoroscopy.
#include <algorithm>
#include <array>
#include <cmath>

#include "reasoning/caution/rule.h"

namespace fairlead {
namespace {
using enum Severity;

constexpr double kOldCreatinine_days = 30.0, kLowEgfr = 30.0, kGatedEgfr = 60.0;
constexpr double kSoonContrast_min = 20.0, kSoonKerma_min = 15.0, kHolds_min = 10.0;
constexpr double kFirst_gy = 3.0, kSubstantial_gy = 5.0, kUsualStop_gy = 7.0;  // "ncrp-168"_source, "stop-2016"_source
constexpr double kHair_gy = 1e-9;  // a sum of examinations may end a hair under what it is
constexpr double kLongAngle_min = 45.0, kLongAngle_gy = 2.0, kLongFluoro_min = 60.0, kNoDose_min = 20.0;

// Ratio 2 is a quiet change of colour; 3 a caution where the kidney is weak; 3.7 asks to be looked at.
Verdict ContrastToKidney(const RunMoment& m) {
  if (m.run.contrast.empty()) return Silent();
  if (NoRatio(m.patient)) return Silent();
  const auto kidney = KidneyFunction(m.patient);
  if (!kidney) return Lacking("kidney function");
  const double ratio = Contrast(m.run) / *kidney;
  const int band = ContrastBandOf(ratio);
  if (band == 0) return Silent();
  const bool weak = *kidney < kGatedEgfr || m.patient.diabetes.value_or(false) || m.patient.heart_failure.value_or(false);
  const Severity severity = band >= 3 ? kStop : band == 2 && weak ? kCaution : kInfo;
  Verdict verdict = Fires(m.from, severity, "Contrast passes " + Tenths(ratio) + " x kidney function. Need more?", {m.run.contrast.back().entry});
  verdict.firings.front().step = band;
  return verdict;
}

Verdict ContrastOverWeightRule(const RunMoment& m) {
  if (m.run.contrast.empty()) return Silent();
  if (!m.patient.by_weight) return Lacking("weight and creatinine");
  if (Contrast(m.run) < m.patient.by_weight->ml - 1e-9) return Silent();
  return Fires(m.from, kCaution, "Contrast over the weight and creatinine rule (" + Whole(m.patient.by_weight->ml) + " mL).", {m.run.contrast.back().entry});
}

Verdict ContrastPace(const RunMoment& m) {
  if (!Running(m.run) || m.run.contrast.empty() || NoRatio(m.patient)) return Silent();
  const auto kidney = KidneyFunction(m.patient);
  if (!kidney) return Lacking("kidney function");
  const At<double>& last = m.run.contrast.back();
  const auto rate = RecentRate(m.run.contrast, last.at);
  const double left = m.limits.contrast_ratio * *kidney - last.value;
  if (!rate || left <= 0.0) return Silent();
  const double minutes = left / rate->per_min.mid;
  if (minutes >= kSoonContrast_min) return Silent();
  return FiresUntil(last.at, Later(last.at, kHolds_min), kInfo, "At this rate the stop limit comes in " + Whole(minutes) + " min.", {last.entry});
}

Verdict KidneyBaseline(const RunMoment& m) {
  if (!Running(m.run) || m.run.contrast.empty()) return Silent();
  const bool old = m.patient.creatinine_at && (m.run.contrast.front().at - *m.patient.creatinine_at).minutes() > kOldCreatinine_days * 24 * 60;
  if (KidneyFunction(m.patient) && !old) return Silent();
  return Fires(m.run.contrast.front().at, kCaution, "Kidney baseline missing or old.", {m.run.contrast.front().entry});
}

Verdict NoFluids(const RunMoment& m) {
  if (!Running(m.run) || !m.run.fluids.empty() || NoRatio(m.patient)) return Silent();
  if (!m.patient.egfr) return Lacking("kidney function");
  return *m.patient.egfr < kLowEgfr ? Fires(m.run.sessions.back().start, kCaution, "No hydration recorded with eGFR under 30.") : Silent();
}

Verdict KermaSteps(const RunMoment& m) {
  const double kerma = Kerma(m.run);
  if (kerma < kFirst_gy - kHair_gy) return Silent();
  Verdict verdict = Fires(m.from, kInfo, "Air kerma " + Tenths(kerma) + " Gy.", {m.run.air_kerma.sums.back().entry});
  verdict.firings.front().step = static_cast<int>(std::floor(kerma + 1e-9));
  return verdict;
}

Verdict KermaSubstantial(const RunMoment& m) {
  if (Kerma(m.run) < kSubstantial_gy - kHair_gy) return Silent();
  return Fires(m.from, kStop, "5 Gy passed: record the reason, rotate the projection, follow-up, letter to the patient.", {m.run.air_kerma.sums.back().entry});
}

Verdict KermaUsualStop(const RunMoment& m) {
  if (!Running(m.run) || Kerma(m.run) < kUsualStop_gy - kHair_gy || (Crossed(m.run) && !m.run.stents.empty())) return Silent();
  return Fires(m.from, kStop, "Usual stop zone 7-8 Gy unless near the end.", {m.run.air_kerma.sums.back().entry});
}

Verdict KermaSoon(const RunMoment& m) {
  if (!Running(m.run) || m.run.air_kerma.sums.empty() || Kerma(m.run) >= kSubstantial_gy - kHair_gy) return Silent();
  const At<double>& last = m.run.air_kerma.sums.back();
  const auto rate = RecentRate(m.run.air_kerma.sums, last.at);
  if (!rate) return Silent();
  const double minutes = (kSubstantial_gy - last.value) / rate->per_min.mid;
  if (minutes >= kSoonKerma_min) return Silent();
  return FiresUntil(last.at, Later(last.at, kNoDose_min), kInfo, "5 Gy in " + Whole(minutes) + " min at this rate.", {last.entry});
}

double SumAt(const Console& console, Instant at) {
  double sum = 0.0;
  for (const At<double>& held : console.sums)
    if (held.at <= at) sum = held.value;
  return sum;
}

Verdict LongAtOneAngle(const RunMoment& m) {
  if (!Running(m.run) || (m.run.air_kerma.sums.empty() && m.run.fluoro.sums.empty())) return Silent();
  if (m.run.views.empty()) return Lacking("the gantry's angles");
  const Instant since = m.run.views.back().at;
  const double kerma = Kerma(m.run) - SumAt(m.run.air_kerma, since);
  const double fluoro = (m.run.fluoro.sums.empty() ? 0.0 : m.run.fluoro.sums.back().value) - SumAt(m.run.fluoro, since);
  if (kerma < kLongAngle_gy - 1e-9 && fluoro < kLongAngle_min) return Silent();
  return Fires(m.from, kInfo, "Long stay at one angle. Move the beam?", {m.run.views.back().entry});
}

Verdict LongFluoroscopy(const RunMoment& m) {
  if (m.run.fluoro.sums.empty() || m.run.fluoro.sums.back().value < kLongFluoro_min) return Silent();
  return Fires(m.from, kInfo, "Fluoroscopy " + Whole(m.run.fluoro.sums.back().value) + " min.", {m.run.fluoro.sums.back().entry});
}

// That the beam is used is taken from an attempt that runs.
Verdict NoDoseReading(const RunMoment& m) {
  if (!Running(m.run) || ActiveAttempt(m.run) == nullptr || m.run.pause) return Silent();
  std::optional<Instant> reading;  // of any of the console's three counters
  for (const Console* console : {&m.run.air_kerma, &m.run.kerma_area, &m.run.fluoro})
    if (!console->sums.empty() && (!reading || console->sums.back().at > *reading)) reading = console->sums.back().at;
  const Instant since = reading.value_or(ActiveAttempt(m.run)->start);
  return Fires(Later(since, kNoDose_min), kInfo, "No dose reading for " + Whole((m.until - since).minutes()) + " min.");
}

constexpr auto kRules = std::to_array<Rule>({
    {"S-14", "contrast at 2, 3, 3.7 times kidney function", "Contrast high for this kidney", "R", "contrast-ratio-2021"_source, "never: a level", kCaution, true, ContrastToKidney},
    {"S-15", "contrast at the weight and creatinine rule", "Contrast over the weight rule", "R", "contrast-weight-1989"_source, "never: a level", kCaution, true, ContrastOverWeightRule},
    {"S-16", "at the rate of the last 20 min the stop limit comes within 20 min", "Contrast limit soon at this rate", "derived", "practice"_source, "time, or a slower rate", kInfo, true, ContrastPace},
    {"S-17", "contrast begun with kidney function unknown or older than 30 days", "Kidney baseline missing or old", "P", "practice"_source, "a creatinine", kCaution, true, KidneyBaseline},
    {"S-18", "eGFR under 30 and no fluid recorded", "No fluids with a weak kidney", "T", "hydration-2014"_source, "fluid given", kCaution, true, NoFluids},
    {"S-19", "air kerma of 3 Gy, and each 1 Gy after", "Air kerma rises", "G", "ncrp-168"_source, "never: a level", kInfo, true, KermaSteps},
    {"S-20", "air kerma of 5 Gy", "5 Gy passed: reason, rotate, follow-up", "G", "ncrp-168"_source, "never: a level", kStop, true, KermaSubstantial},
    {"S-21", "air kerma of 7 Gy and not crossed and stenting", "7 Gy: usual stop zone", "P", "stop-2016"_source, "crossed and stenting", kStop, true, KermaUsualStop},
    {"S-22", "at the recent rate 5 Gy comes within 15 min", "5 Gy soon at this rate", "derived", "practice"_source, "a slower rate", kInfo, true, KermaSoon},
    {"S-23", "45 min of fluoroscopy or 2 Gy since the last change of angle", "Long at one angle: move beam", "P", "practice"_source, "another view", kInfo, true, LongAtOneAngle},
    {"S-24", "fluoroscopy of 60 min", "Fluoroscopy 60 min", "G", "ncrp-168"_source, "never: a level", kInfo, true, LongFluoroscopy},
    {"S-25", "no dose reading for 20 min while an attempt runs", "No dose reading for 20 min", "P", "practice"_source, "a reading", kInfo, true, NoDoseReading},
});

}  // namespace

std::span<const Rule> TotalRules() { return kRules; }

}  // namespace fairlead
