// SPDX-License-Identifier: Apache-2.0
// S-41 to S-50: minutes on one way, limits passed while not across, treating before proof.
#include <algorithm>
#include <array>
#include <cmath>

#include "reasoning/caution/crossing_prior.h"
#include "reasoning/caution/rule.h"

namespace fairlead {
namespace {
using enum Severity;

constexpr double kPhase_min = 60.0, kJoining_min = 30.0, kCheckpoint_min = 180.0, kInjection_min = 10.0;
constexpr double kSubstantial_gy = 5.0, kHighRatio = 3.0;

Verdict LongOnOneWay(const RunMoment& m) {
  const RunAttempt* active = ActiveAttempt(m.run);
  if (active == nullptr || active->strategy != Strategy::kAntegradeWiring) return Silent();
  const double wait = SwitchMinutes(m.patient.j_cto);
  const Instant from = Later(active->last_progress, wait);
  const double minutes = (std::max(from, m.until) - active->last_progress).minutes();
  std::string text = Whole(minutes) + " min on one strategy.";
  if (m.patient.j_cto) text += " Expected gain next 10 min " + Tenths(100.0 * CrossesInTen(*m.patient.j_cto, std::max(wait, (from - active->start).minutes()))) + " % (published, not yours).";
  return Fires(from, kCaution, text + " Plan B?", {active->entry});
}

Verdict LongPhase(const RunMoment& m) {
  const RunAttempt* active = ActiveAttempt(m.run);
  if (active == nullptr) return Silent();
  return Fires(Later(active->phases.back().start, kPhase_min), kStop, "Unchanged for an hour (" + std::string(StrategyWord(active->strategy)) + ", " + active->phases.back().phase + ").", {active->entry});
}

// Balloons that were to join the two sides, at one site, with no picture of the vessel between them.
Verdict JoiningFails(const RunMoment& m) {
  const RunAttempt* active = ActiveAttempt(m.run);
  if (active == nullptr || active->strategy != Strategy::kRetrogradeDissection) return Silent();
  std::optional<Instant> from;
  const Instant pictured = m.run.pullbacks.empty() ? active->start : std::max(active->start, m.run.pullbacks.back().at);
  if (active->phases.back().phase == "joining") from = Later(std::max(active->phases.back().start, pictured), kJoining_min);
  int here = 0;
  const At<RunEvent>* last = nullptr;
  for (const At<RunEvent>& join : m.run.joins) {
    if (join.at < pictured) continue;
    here = last != nullptr && WordOf(join.value, RunField::kSegment) == WordOf(last->value, RunField::kSegment) ? here + 1 : 1;
    last = &join;
  }
  if (here >= 2) from = from ? std::min(*from, last->at) : last->at;
  if (!from) return Silent();
  return Fires(*from, kCaution, "Image again; which of the four cases?", {last != nullptr ? last->entry : active->entry});
}

Verdict NoCrossableCollateral(const RunMoment& m) {
  if (!Running(m.run) || !RetrogradeActive(m.run)) return Silent();
  if (!m.patient.interventional_collateral) return Lacking("whether a collateral is crossable");
  if (*m.patient.interventional_collateral) return Silent();
  return Fires(m.from, kCaution, "Retrograde with no crossable collateral: expected success 26 % (published, not yours).");
}

// The last of the antegrade injections that could spread it: one from the other side, or one made elsewhere since, takes nothing back.
Verdict AntegradeInjection(const RunMoment& m) {
  if (!Running(m.run)) return Silent();
  const RunAttempt* active = ActiveAttempt(m.run);
  const auto spreads = [&](Instant at) {
    if (active != nullptr && at >= active->start) {
      if (active->strategy == Strategy::kAntegradeDissection) return true;
      if (active->strategy == Strategy::kRetrogradeDissection && active->phases.back().phase == "joining" && at >= active->phases.back().start) return true;
    }
    return std::ranges::any_of(InBody(m.run, DeviceKind::kWire), [at](const RunDevice* wire) { return wire->place && wire->place->space == "extraplaque" && wire->place->at <= at; });
  };
  for (auto injection = m.run.injections.rbegin(); injection != m.run.injections.rend(); ++injection) {
    if (injection->value.side != RunSide::kAntegrade && WordOf(injection->value, RunField::kState) != "both") continue;
    if (spreads(injection->at)) return FiresUntil(injection->at, Later(injection->at, kInjection_min), kCaution, "Injection may spread the haematoma.", {injection->entry});
  }
  return Silent();
}

bool DecidedSince(const RunState& run, Instant at) {
  return std::ranges::any_of(run.decisions, [at](const At<std::string>& decision) { return decision.at >= at; });
}

Verdict Checkpoint(const RunMoment& m) {
  const auto start = ProcedureStart(m.run);
  if (!Running(m.run) || !start || Crossed(m.run)) return Silent();
  const Instant from = Later(*start, kCheckpoint_min);
  if (DecidedSince(m.run, from)) return Silent();
  return Fires(from, kStop, "3 h checkpoint: stop, invest or go on (reason).");
}

Verdict TwoLimitsPassed(const RunMoment& m) {
  const auto start = ProcedureStart(m.run);
  if (!Running(m.run) || !start || Crossed(m.run)) return Silent();
  const auto kidney = NoRatio(m.patient) ? std::nullopt : KidneyFunction(m.patient);
  std::vector<Instant> passed = {Later(*start, kCheckpoint_min)};
  const auto first = [&](const std::vector<At<double>>& sums, double limit) {
    const auto found = std::ranges::find_if(sums, [limit](const At<double>& sum) { return sum.value >= limit - 1e-12; });
    if (found != sums.end()) passed.push_back(found->at);
  };
  first(m.run.air_kerma.sums, kSubstantial_gy);
  if (kidney) first(m.run.contrast, kHighRatio * *kidney);
  if (passed.size() < 2) return kidney || NoRatio(m.patient) ? Silent() : Lacking("kidney function");
  std::ranges::sort(passed);
  if (DecidedSince(m.run, passed[1])) return Silent();
  return Fires(passed[1], kStop, "Two limits passed, not across. Consider stopping or investment.");
}

Verdict StentBeforeProof(const RunMoment& m) {
  if (!Running(m.run) || m.run.stents.empty() || Crossed(m.run)) return Silent();
  return Fires(m.run.stents.back().at, kStop, "Stent logged before true-lumen proof.", {m.run.stents.back().entry});
}

Verdict DebulkOutsidePlaque(const RunMoment& m) {
  if (!Running(m.run) || m.run.debulks.empty()) return Silent();
  const At<RunEvent>& debulk = m.run.debulks.back();
  const std::string_view kind = WordOf(debulk.value, RunField::kKind), tag = WordOf(debulk.value, RunField::kTag);
  if (kind != "rotational" && kind != "orbital") return Silent();
  const RunDevice* wire = FindInBody(m.run, DeviceKind::kWire, tag.empty() ? RunSide::kAntegrade : RunSide::kNone, tag);
  if (wire != nullptr && wire->place && (wire->place->space == "true" || wire->place->space == "intraplaque")) return Silent();
  return Fires(debulk.at, kStop, "Atherectomy in a path not proven intraplaque: perforation risk.", {debulk.entry});
}

Verdict BalloonOverVessel(const RunMoment& m) {
  if (!Running(m.run) || m.run.vessel_sizes.empty() || m.run.balloons.empty()) return Silent();
  const At<BalloonUse>& use = m.run.balloons.back();
  const auto size = NumberOf(use.value.event, RunField::kDiameter);
  const std::string_view where = WordOf(use.value.event, RunField::kWhere), segment = WordOf(use.value.event, RunField::kSegment);
  if (!size || (!where.empty() && where != "lesion")) return Silent();
  for (auto measured = m.run.vessel_sizes.rbegin(); measured != m.run.vessel_sizes.rend(); ++measured) {
    const std::string_view of = WordOf(measured->value, RunField::kSegment);
    if (measured->at > use.at || (!segment.empty() && !of.empty() && of != segment)) continue;
    const double least = NumberOf(measured->value, RunField::kEemMin).value_or(0.0);
    if (*size <= least + 1e-9) return Silent();
    return Fires(use.at, kCaution, "Balloon " + Tenths(*size) + " mm over vessel " + Tenths(least) + " mm.", {use.entry, measured->entry});
  }
  return Silent();
}

constexpr auto kRules = std::to_array<Rule>({
    {"S-41", "antegrade wiring without progress for 30 min (J-CTO 0-1), 20 (2 or unknown), 10 (3 and more)", "Long on one strategy: plan B?", "derived", "j-cto-2011"_source, "a new strategy, a wire's place, a milestone", kCaution, true, LongOnOneWay},
    {"S-42", "one phase for 60 min", "Unchanged for an hour", "derived", "practice"_source, "a milestone or another strategy", kStop, true, LongPhase},
    {"S-43", "two balloons to join at one site, or 30 min of it", "Joining fails: image again", "P", "practice"_source, "an ultrasound pullback", kCaution, true, JoiningFails},
    {"S-44", "retrograde, and no crossable collateral in the plan", "No crossable collateral on file", "derived", "primary-retrograde-2022"_source, "retrograde gear out", kCaution, true, NoCrossableCollateral},
    {"S-45", "antegrade injection with a wire outside the plaque, in dissection or while joining", "Injection may spread the haematoma", "P", "practice"_source, "ten minutes", kCaution, true, AntegradeInjection},
    {"S-46", "180 min and not crossed", "3 h checkpoint: stop, invest, go on?", "C", "asia-pacific-2017"_source, "a decision", kStop, true, Checkpoint},
    {"S-47", "two of 5 Gy, three times kidney function, 180 min, and not crossed", "Two limits passed, not across", "C", "global-2021"_source, "a decision", kStop, true, TwoLimitsPassed},
    {"S-48", "a stent before the far lumen is proven", "Stent before true-lumen proof", "P", "practice"_source, "the proof", kStop, true, StentBeforeProof},
    {"S-49", "rotational or orbital atherectomy on a wire not known to be in the plaque", "Atherectomy in an unproven path", "R", "perforation-2019"_source, "the wire's place", kStop, true, DebulkOutsidePlaque},
    {"S-50", "a balloon larger than the vessel on ultrasound", "Balloon larger than the vessel", "P", "practice"_source, "a smaller one", kCaution, true, BalloonOverVessel},
});

}  // namespace

std::span<const Rule> AttemptRules() { return kRules; }

}  // namespace fairlead
