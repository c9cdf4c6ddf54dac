// SPDX-License-Identifier: Apache-2.0
// S-01 to S-13: ACT, heparin, protamine.
#include <algorithm>
#include <array>

#include "reasoning/budget/anticoagulation.h"
#include "reasoning/caution/rule.h"

namespace fairlead {
namespace {
using enum Severity;

constexpr double kStopAct_min = 45.0;          // retrograde, without an ACT; practice
constexpr double kForecast_min = 10.0;
constexpr double kLargeHeparin = 150.0;        // IU/kg; derived, practice
constexpr double kMostProtamine_mg = 50.0;     // label, from memory
constexpr double kHeparinForOneMg = 100.0;

double Bound(const At<ActReading>& act) { return act.value.off_scale ? 1e9 : act.value.seconds; }

// The last ACT since the first heparin; a sample before it is a baseline.
const At<ActReading>* ActOnHeparin(const RunState& run) {
  const At<ActReading>* act = LastAct(run);
  const At<HeparinDose>* first = FirstHeparin(run);
  return act != nullptr && (first == nullptr || act->at >= first->at) ? act : nullptr;
}

Verdict NoActBeforeRetrograde(const RunMoment& m) {
  if (!Running(m.run) || !RetrogradeActive(m.run) || ActOnHeparin(m.run) != nullptr) return Silent();
  return Fires(m.from, kStop, "No ACT on record since heparin. Measure before going retrograde.");
}

Verdict ActUnderRetrogradeTarget(const RunMoment& m) {
  const At<ActReading>* act = ActOnHeparin(m.run);
  if (!Running(m.run) || !RetrogradeActive(m.run) || act == nullptr) return Silent();
  const double target = TargetsOf(m.limits, FamilyOf(*act, m.limits)).retrograde_s;
  if (Bound(*act) >= target) return Silent();
  return Fires(m.from, kStop, "ACT " + Whole(act->value.seconds) + " s is under the retrograde target " + Whole(target) + " s. Top up and recheck?", {act->entry});
}

Verdict NoActForLong(const RunMoment& m) {
  if (!Running(m.run) || !GearInCoronary(m.run)) return Silent();
  const At<ActReading>* act = ActOnHeparin(m.run);
  const At<HeparinDose>* first = FirstHeparin(m.run);
  if (act == nullptr && first == nullptr) return Lacking("an ACT, or the first heparin");
  const Instant since = act != nullptr ? act->at : first->at;
  const std::string text = "No ACT for " + Whole((m.until - since).minutes()) + " min.";
  const std::string because = act != nullptr ? act->entry : first->entry;
  Verdict verdict = Fires(Later(since, m.limits.act_every_min), kCaution, text, {because});
  if (RetrogradeActive(m.run)) verdict.firings.push_back({Later(since, std::max(kStopAct_min, m.limits.act_every_min)), std::nullopt, 1, kStop, text, {because}});
  return verdict;
}

Verdict ActLikelyFalling(const RunMoment& m) {
  if (!Running(m.run) || !GearInCoronary(m.run) || m.run.heparin.empty() || AwaitedSample(m.run)) return Silent();
  if (!m.patient.weight_kg) return Lacking("weight");
  const auto course = CourseOf(m.run, m.patient, m.limits);
  const At<ActReading>* act = ActOnHeparin(m.run);
  if (!course || act == nullptr || !m.run.protamine.empty()) return Silent();
  const double target = TargetOf(m.run, m.limits, FamilyOf(*act, m.limits));
  if (Bound(*act) < target) return Silent();  // known to be under it: no forecast is needed
  const Instant last = std::max(act->at, m.run.heparin.back().at);
  const double at_min = (last - course->start).minutes();
  const auto minutes = MinutesToTarget(course->course, LikeliestOf(course->course, at_min), at_min, target);
  if (!minutes) return Silent();
  const Instant from = std::max(Later(last, *minutes - kForecast_min), Later(act->at, kForecast_min));
  return Fires(from, kInfo, "ACT likely falling under target; sample due.", {act->entry});
}

Verdict ActVeryHigh(const RunMoment& m) {
  const At<ActReading>* act = ActOnHeparin(m.run);
  if (!Running(m.run) || act == nullptr || Bound(*act) <= TargetsOf(m.limits, FamilyOf(*act, m.limits)).upper_s) return Silent();
  return Fires(m.from, kCaution, "ACT very high; bleeding risk climbs. Hold heparin?", {act->entry});
}

Verdict ActLowWithWires(const RunMoment& m) {
  const At<ActReading>* act = ActOnHeparin(m.run);
  if (!Running(m.run) || act == nullptr || WiresIn(m.run) < 2 || Bound(*act) >= TargetsOf(m.limits, FamilyOf(*act, m.limits)).lower_s) return Silent();
  return Fires(m.from, kCaution, "ACT low with wires in place: risk of clot on gear.", {act->entry});
}

Verdict AnalyserChanged(const RunMoment& m) {
  if (!Running(m.run) || m.run.acts.size() < 2) return Silent();
  const At<ActReading>&last = m.run.acts.back(), &before = m.run.acts[m.run.acts.size() - 2];
  if (FamilyOf(last, m.limits) == FamilyOf(before, m.limits)) return Silent();
  return Fires(m.from, kCaution, "ACT from a different analyser: numbers do not compare.", {last.entry});
}

Verdict LargeHeparinLowAct(const RunMoment& m) {
  const At<ActReading>* act = ActOnHeparin(m.run);
  const auto units = HeparinUnits(m.run);
  if (!Running(m.run) || !units) return Silent();
  if (!m.patient.weight_kg) return Lacking("weight");
  if (act == nullptr || *units / *m.patient.weight_kg <= kLargeHeparin || act->at < m.run.heparin.back().at) return Silent();
  if (Bound(*act) >= TargetOf(m.run, m.limits, FamilyOf(*act, m.limits))) return Silent();
  return Fires(m.from, kCaution, "Large heparin dose, low ACT: check line, sample, resistance.", {act->entry, m.run.heparin.back().entry});
}

Verdict GpBlocker(const RunMoment& m) {
  for (const At<RunEvent>& drug : m.run.drugs)
    if (Running(m.run) && WordOf(drug.value, RunField::kDrug) == "gp-blocker") return Fires(drug.at, kCaution, "Targets change to 200-250 s; ask why in CTO.", {drug.entry});
  return Silent();
}

Verdict HeparinNotTolerated(const RunMoment& m) {
  if (!Running(m.run) || m.run.heparin.empty()) return Silent();
  if (!m.patient.heparin_allergy) return Lacking("whether heparin is tolerated");
  return *m.patient.heparin_allergy ? Fires(m.run.heparin.front().at, kStop, "Recorded allergy conflicts with this drug.", {m.run.heparin.front().entry}) : Silent();
}

Verdict ProtamineReaction(const RunMoment& m) {
  if (!Running(m.run) || m.run.protamine.empty()) return Silent();
  if (!m.patient.protamine_risk) return Lacking("protamine risk (fish, NPH insulin, earlier use)");
  return *m.patient.protamine_risk ? Fires(m.run.protamine.front().at, kStop, "Possible protamine reaction on file.", {m.run.protamine.front().entry}) : Silent();
}

Verdict ProtamineWithGear(const RunMoment& m) {
  if (!Running(m.run) || m.run.protamine.empty() || !GearInCoronary(m.run)) return Silent();
  return Fires(m.run.protamine.back().at, kStop, "Gear still in coronary: clot risk. Out first, or accept knowingly?", {m.run.protamine.back().entry});
}

// Any dose of the visit: a small one after it takes nothing back. What earlier doses have bound is no longer there.
Verdict ProtamineTooMuch(const RunMoment& m) {
  if (!Running(m.run) || m.run.protamine.empty()) return Silent();
  const auto course = CourseOf(m.run, m.patient, m.limits);
  const At<double>* over = nullptr;
  double bound = 0.0;  // IU
  for (const At<double>& dose : m.run.protamine) {
    bool much = dose.value > kMostProtamine_mg;
    if (course && dose.at >= course->start) {
      const double at_min = (dose.at - course->start).minutes();
      const double left = AmountOf(course->course, LikeliestOf(course->course, at_min), at_min) * *m.patient.weight_kg;
      much = much || dose.value > std::max(0.0, left - bound) / kHeparinForOneMg;
    }
    if (much) over = &dose;
    bound += dose.value * kHeparinForOneMg;
  }
  if (over != nullptr) return Fires(over->at, kCaution, "Dose above usual maximum.", {over->entry});
  return !course && !m.run.heparin.empty() && !m.patient.weight_kg ? Lacking("weight") : Silent();
}

constexpr auto kRules = std::to_array<Rule>({
    {"S-01", "retrograde gear or attempt, and no ACT since heparin", "No ACT since heparin: measure", "P", "practice"_source, "an ACT", kStop, true, NoActBeforeRetrograde},
    {"S-02", "retrograde, and the last ACT under the retrograde target", "ACT under the retrograde target", "R", "act-cto-2023"_source, "an ACT at or above the target", kStop, true, ActUnderRetrogradeTarget},
    {"S-03", "gear in the coronary and no ACT for 30 min (stop at 45 if retrograde)", "No ACT for half an hour", "P", "practice"_source, "an ACT", kCaution, true, NoActForLong},
    {"S-04", "the forecast ACT falls under its target within 10 min and none is awaited", "ACT likely falling: sample due", "derived", "heparin-2012"_source, "a sample sent", kInfo, true, ActLikelyFalling},
    {"S-05", "last ACT above 400 s (H) or 350 s (L)", "ACT very high", "R", "act-cto-2023"_source, "an ACT at or below it", kCaution, true, ActVeryHigh},
    {"S-06", "last ACT under 250 s (H) or 200 s (L) with two wires in", "ACT low with wires in", "R", "act-cto-2023"_source, "an ACT at or above it, or a wire out", kCaution, true, ActLowWithWires},
    {"S-07", "two ACTs in a row of different analysers", "Another ACT analyser: do not compare", "S", "act-analysers-1994"_source, "the next ACT of the same analyser", kCaution, true, AnalyserChanged},
    {"S-08", "more than 150 IU/kg of heparin and the ACT under its target", "Much heparin, low ACT: check line", "P", "practice"_source, "an ACT at or above the target", kCaution, true, LargeHeparinLowAct},
    {"S-09", "a IIb/IIIa blocker was given", "IIb/IIIa blocker: ACT targets change", "G", "practice"_source, "accepting it", kCaution, true, GpBlocker},
    {"S-10", "heparin given and not tolerated on file", "Heparin against a recorded allergy", "P", "practice"_source, "accepting it", kStop, true, HeparinNotTolerated},
    {"S-11", "protamine given and a risk of reaction on file", "Protamine reaction possible", "P", "practice"_source, "accepting it", kStop, true, ProtamineReaction},
    {"S-12", "protamine given with gear in the coronary or donor", "Protamine with gear inside: clot risk", "C", "perforation-review-2019"_source, "gear out", kStop, true, ProtamineWithGear},
    {"S-13", "more than 50 mg of protamine at once, or more than 1 mg for 100 IU left", "Protamine above the usual maximum", "P", "practice"_source, "accepting it", kCaution, true, ProtamineTooMuch},
});

}  // namespace

std::span<const Rule> BloodRules() { return kRules; }

}  // namespace fairlead
