// SPDX-License-Identifier: Apache-2.0
// S-34 to S-40: pressure, perforation, tamponade. S-34 to S-39 are not silenced by accepting them.
#include <algorithm>
#include <array>

#include "reasoning/caution/rule.h"

namespace fairlead {
namespace {
using enum Severity;

constexpr double kFall_mmhg = 30.0, kFallWithin_min = 5.0, kLowSystolic_mmhg = 90.0;  // assumed thresholds, practice
constexpr double kEcho_min = 10.0, kSurgeon_min = 15.0;

Verdict PressureFellOrDamped(const RunMoment& m) {
  if (!Running(m.run)) return Silent();
  for (const auto& [side, damped] : m.run.damped)
    if (damped.value) return Fires(damped.at, kStop, "Look at donor guide and pericardium.", {damped.entry});
  const auto& pressures = m.run.pressures;
  const At<BloodPressure>*before = nullptr, *fell = nullptr;  // a fall holds until a pressure is back: one that stays low is no news
  for (auto now = pressures.begin(); now != pressures.end(); ++now) {
    if (before != nullptr && before->value.systolic - now->value.systolic < kFall_mmhg) before = fell = nullptr;
    for (auto high = pressures.begin(); before == nullptr && high != now; ++high) {
      if ((now->at - high->at).minutes() > kFallWithin_min || high->value.systolic - now->value.systolic < kFall_mmhg) continue;
      before = &*high, fell = &*now;
    }
  }
  if (fell == nullptr) return Silent();
  return Fires(fell->at, kStop, "Look at donor guide and pericardium. Systolic " + Whole(before->value.systolic) + " to " + Whole(fell->value.systolic) + ".", {before->entry, fell->entry});
}

// Perforations of this visit that are open; those closed within their time are past.
template <typename Ask>
Verdict OfPerforations(const RunState& run, const Ask& ask) {
  for (const Trouble& trouble : run.troubles) {
    if (trouble.kind != "perforation") continue;
    if (Verdict verdict = ask(trouble); !verdict.firings.empty()) return verdict;
  }
  return Silent();
}

Verdict PerforationWithoutEcho(const RunMoment& m) {
  return OfPerforations(m.run, [&](const Trouble& hole) {
    const bool seen = std::ranges::any_of(m.run.echoes, [&](const At<Echo>& echo) { return echo.at >= hole.at; });
    return seen ? Silent() : Fires(Later(hole.at, kEcho_min), kStop, "Perforation logged, no echo yet.", {hole.entry});
  });
}

// An open hole that bleeds fast, or a low pressure whatever its cause: the kit may be needed in a minute.
Verdict DrillKit(const RunMoment& m) {
  if (!Running(m.run)) return Silent();
  const auto hole = std::ranges::find_if(m.run.troubles, [](const Trouble& trouble) {
    return trouble.kind == "perforation" && !trouble.over && (trouble.grade == "III" || trouble.grade == "cavity");
  });
  const auto systolic = LastSystolic(m.run);
  const bool low = systolic && *systolic < kLowSystolic_mmhg;
  if (hole == m.run.troubles.end() && !low) return Silent();
  std::string missing;
  for (const std::string_view item : {"covered-stents", "drain-set"})
    if (!Ticked(m.run, "before", item) && !Ticked(m.run, "drill", item)) missing += (missing.empty() ? "" : ", ") + std::string(item);
  if (missing.empty()) return Silent();
  return Fires(m.from, kStop, "Drill kit not ticked: " + missing + ".", {hole != m.run.troubles.end() ? hole->entry : m.run.pressures.back().entry});
}

Verdict PerforationDetails(const RunMoment& m) {
  return OfPerforations(m.run, [&](const Trouble& hole) {
    std::string missing;
    const auto lacks = [&](bool is_missing, const char* name) { if (is_missing) missing += (missing.empty() ? "" : ", ") + std::string(name); };
    lacks(hole.grade.empty(), "class");
    lacks(hole.site.empty(), "site");
    // After the crossing no attempt runs: the last one, closed before, is the technique.
    const bool after = std::ranges::any_of(m.run.attempts, [&](const RunAttempt& attempt) { return attempt.ended == AttemptEnd::kCrossed && attempt.end && *attempt.end <= hole.at; });
    lacks(!hole.active && !after, "active technique");
    return missing.empty() ? Silent() : Fires(hole.at, kCaution, "Perforation: details missing: " + missing + ".", {hole.entry});
  });
}

Verdict HeparinAfterPerforation(const RunMoment& m) {
  return OfPerforations(m.run, [&](const Trouble& hole) {
    if (hole.over) return Silent();
    for (const At<HeparinDose>& dose : m.run.heparin)
      if (dose.at > hole.at && dose.value.units > 0.0) return Fires(dose.at, kStop, "Heparin after a perforation.", {hole.entry, dose.entry});
    return Silent();
  });
}

Verdict SurgeonTold(const RunMoment& m) {
  const Trouble* tamponade = AnyTrouble(m.run, "tamponade");
  if (tamponade == nullptr || tamponade->over) return Silent();
  const bool told = std::ranges::any_of(m.run.calls, [&](const At<std::string>& call) { return call.value == "surgeon"; });
  return told ? Silent() : Fires(Later(tamponade->at, kSurgeon_min), kCaution, "Surgical team told?", {tamponade->entry});
}

Verdict LoculatedEffusion(const RunMoment& m) {
  if (!Running(m.run) || m.run.echoes.empty() || m.run.echoes.back().value.finding != "none") return Silent();
  const auto systolic = LastSystolic(m.run);
  if (!(systolic && *systolic < kLowSystolic_mmhg) && OpenTrouble(m.run, "hypotension") == nullptr) return Silent();
  if (!m.patient.prior_cabg) return Lacking("whether there was bypass surgery");
  return *m.patient.prior_cabg ? Fires(m.from, kCaution, "Effusion may be loculated: CT or transoesophageal echo?", {m.run.echoes.back().entry}) : Silent();
}

constexpr auto kRules = std::to_array<Rule>({
    {"S-34", "a guide damped, or systolic down by 30 within 5 min", "Look at donor guide and pericardium", "P", "practice"_source, "the pressure back, or the guide cleared", kStop, false, PressureFellOrDamped},
    {"S-35", "a perforation and no echo within 10 min", "Perforation: no echo yet", "G", "tamponade-statement"_source, "an echo", kStop, false, PerforationWithoutEcho},
    {"S-36", "a class III perforation or systolic under 90, and covered stent or drain set not ticked", "Drill kit not ticked", "G", "tamponade-statement"_source, "the ticks", kStop, false, DrillKit},
    {"S-37", "a perforation without class, site or active technique", "Perforation: details missing", "P", "practice"_source, "the details; a technique by its start, typed late", kCaution, false, PerforationDetails},
    {"S-38", "heparin given after a perforation that is open", "Heparin after a perforation", "P", "practice"_source, "the hole sealed", kStop, false, HeparinAfterPerforation},
    {"S-39", "tamponade and no surgeon called within 15 min", "Surgical team told?", "G", "tamponade-statement"_source, "the call", kCaution, false, SurgeonTold},
    {"S-40", "bypass surgery in the past, low pressure, and an echo that shows nothing", "Effusion may be loculated", "R", "bypass-pci-2020"_source, "pressure back", kCaution, true, LoculatedEffusion},
});

}  // namespace

std::span<const Rule> TroubleRules() { return kRules; }

}  // namespace fairlead
