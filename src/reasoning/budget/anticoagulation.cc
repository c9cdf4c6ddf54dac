// SPDX-License-Identifier: Apache-2.0
#include "reasoning/budget/anticoagulation.h"

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

constexpr double kOldest_min = 45.0;    // of the last ACT, for a dose to be shown; chosen
constexpr double kRounding_iu = 500.0;
constexpr int kPanelGrid = 61;          // coarser than the calculator's; within its tolerance

bool Given(const RunState& run, std::string_view drug) {
  return std::ranges::any_of(run.drugs, [&](const At<RunEvent>& given) { return WordOf(given.value, RunField::kDrug) == drug; });
}

bool DripRuns(const RunState& run) {
  for (auto dose = run.heparin.rbegin(); dose != run.heparin.rend(); ++dose)
    if (dose->value.route == "drip") return dose->value.units > 0.0;
  return false;
}

std::string WhyNoReturn(const RunState& run, const RunPatient& patient, const RunLimits& limits, const Anticoagulation& held) {
  if (OpenTrouble(run, "perforation") != nullptr || OpenTrouble(run, "tamponade") != nullptr || OpenTrouble(run, "bleed") != nullptr)
    return "a perforation, tamponade or bleed is open: the question is reversal";
  if (!limits.show_return_dose) return "the lab has not switched it on";
  if (!patient.weight_kg) return "the weight is not known";
  if (!run.protamine.empty()) return "protamine was given";
  if (Given(run, "gp-blocker") || Given(run, "bivalirudin") || Given(run, "cangrelor")) return "another drug against clots was given";
  if (DripRuns(run)) return "a drip runs";
  if (!held.last || !held.age_min) return "no ACT was taken";
  if (*held.age_min > kOldest_min) return "the last ACT is older than 45 min";
  if (held.last->value.off_scale) return "the last ACT was off scale";
  if (!held.forecast) return held.no_forecast;
  if (held.forecast->suspect || held.forecast->outside) return "the samples do not fit the model: measure again";
  return {};
}

RunBand Rounded(const Quantiles& per_kg, double kg) {
  const auto units = [kg](double value) { return std::round(value * kg / kRounding_iu) * kRounding_iu; };
  return {units(per_kg.p5), units(per_kg.p50), units(per_kg.p95)};
}

}  // namespace

char FamilyOf(const At<ActReading>& act, const RunLimits& limits) { return act.value.analyser.empty() ? limits.analyser : act.value.analyser.front(); }

double TargetOf(const RunState& run, const RunLimits& limits, char analyser) {
  const ActTargets& bands = TargetsOf(limits, analyser);
  return RetrogradeActive(run) ? bands.retrograde_s : bands.antegrade_s;
}

std::optional<DatedCourse> CourseOf(const RunState& run, const RunPatient& patient, const RunLimits& limits) {
  if (run.heparin.empty() || !patient.weight_kg) return std::nullopt;
  DatedCourse dated;
  dated.start = run.heparin.front().at;
  const auto minute = [&](Instant at) { return (at - dated.start).minutes(); };
  const double kg = *patient.weight_kg;
  for (const At<HeparinDose>& dose : run.heparin) {
    if (dose.value.route != "drip") {
      dated.course.boluses.push_back({minute(dose.at), dose.value.units / kg});
      continue;
    }
    if (!dated.course.drips.empty()) dated.course.drips.back().to_min = std::min(dated.course.drips.back().to_min, minute(dose.at));
    if (dose.value.units > 0.0) dated.course.drips.push_back({minute(dose.at), 1e9, dose.value.units / kg / 60.0});
  }
  const char family = run.acts.empty() ? limits.analyser : FamilyOf(run.acts.back(), limits);
  dated.course.scale.slope = family == 'L' ? limits.slope_low : limits.slope_high;
  for (const At<ActReading>& act : run.acts) {
    if (FamilyOf(act, limits) != family) continue;
    if (act.at < dated.start && !act.value.off_scale) dated.course.scale = {dated.course.scale.slope, act.value.seconds, 0.0};  // measured before heparin
    else dated.course.samples.push_back({minute(act.at), act.value.seconds, act.value.off_scale});
  }
  return dated;
}

Anticoagulation AnticoagulationOf(const RunState& run, const RunPatient& patient, const RunLimits& limits, Instant now) {
  Anticoagulation held;
  held.analyser = limits.analyser;
  if (!run.acts.empty()) {
    held.last = run.acts.back();
    held.age_min = (now - run.acts.back().at).minutes();
    held.analyser = FamilyOf(run.acts.back(), limits);
    held.analyser_changed = std::ranges::any_of(run.acts, [&](const At<ActReading>& act) { return FamilyOf(act, limits) != held.analyser; });
  }
  held.bands = TargetsOf(limits, held.analyser);
  held.target_s = TargetOf(run, limits, held.analyser);
  held.awaited = AwaitedSample(run);
  held.units = HeparinUnits(run);
  if (held.units && patient.weight_kg) held.units_per_kg = *held.units / *patient.weight_kg;
  auto course = CourseOf(run, patient, limits);
  if (Over(run)) held.no_forecast = "the session has ended";
  else if (run.heparin.empty()) held.no_forecast = "no heparin is on record";
  else if (!patient.weight_kg) held.no_forecast = "the weight is not known";
  else if (!run.protamine.empty()) held.no_forecast = "protamine was given: the model does not hold";
  else if (course) {
    course->course.grid = kPanelGrid;
    auto forecast = ForecastAct(course->course, (now - course->start).minutes(), held.target_s);
    if (forecast.ok()) held.forecast = *forecast;
    else held.no_forecast = forecast.error().what;
  }
  held.no_return = WhyNoReturn(run, patient, limits, held);
  if (held.no_return.empty()) held.return_iu = Rounded(held.forecast->top_up, *patient.weight_kg);
  return held;
}

}  // namespace fairlead
