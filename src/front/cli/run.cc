// SPDX-License-Identifier: Apache-2.0
// The run in words: what assess prints for people.
#include <fmt/core.h>

#include "casebook/derive.h"
#include "casebook/run/run_state.h"
#include "front/cli/run.h"
#include "front/cli/terminal.h"
#include "front/server/run_parts.h"

namespace fairlead {
namespace {

void PrintBudgets(const RunBudgets& budgets, const Anticoagulation& held) {
  std::vector<std::vector<std::string>> rows = {{"budget", "used", "limit", "reserve", "left", "minutes left at this rate"}};
  const auto row = [&](const char* name, const Budget& budget, int digits) {
    const auto text = [digits](std::optional<double> number) { return number ? fmt::format("{:.{}f}", *number, digits) : std::string("?"); };
    std::string minutes = budget.minutes_left ? fmt::format("{:.0f} ({:.0f} to {:.0f})", budget.minutes_left->mid, budget.minutes_left->low, budget.minutes_left->high) : "";
    if (budget.rate && budget.rate->prior) minutes += " (published, not yours)";
    rows.push_back({name, text(budget.used), text(budget.limit), fmt::format("{:.{}f}", budget.reserve, digits), text(budget.left), minutes});
  };
  row("time, min", budgets.time, 0);
  row("contrast, mL", budgets.contrast, 0);
  row("air kerma, Gy", budgets.air_kerma, 1);
  Print(Table(rows));
  if (held.last) Print(fmt::format("ACT {:.0f} s, {:.0f} min old; target {:.0f} s", held.last->value.seconds, *held.age_min, held.target_s));
  if (held.forecast) Print(fmt::format("ACT now about {:.0f} s ({:.0f} to {:.0f}); next sample in {:.0f} min", held.forecast->act_now.p50, held.forecast->act_now.p5, held.forecast->act_now.p95, held.forecast->sample_due_min));
}

void PrintBody(const RunState& run) {
  for (const RunDevice* device : InBody(run)) {
    std::string line = "in the body: " + std::string(DeviceWord(device->kind));
    for (const std::string_view part : {std::string_view(device->tag), SideName(device->side), std::string_view(device->site), std::string_view(device->body_side)}) {
      if (!part.empty()) line += " " + std::string(part);
    }
    if (device->length_cm) line += fmt::format(", {:g} cm", *device->length_cm);
    if (device->place) line += ", " + device->place->space + (device->place->proof.empty() ? "" : " by " + device->place->proof);
    Print(line);
  }
}

}  // namespace

void PrintRun(const State& state, const Knowledge& lab, Instant now) {
  const RunState run = RunOf(state, now);
  if (run.sessions.empty()) return;
  const auto limits = LimitsOf(lab);
  const auto changes = ChangesOf(lab);
  if (!limits.ok() || !changes.ok()) return;
  const RunPatient patient = PatientOf(state, WithDerived(StandingFacts(state)), run);
  if (const RunAttempt* active = ActiveAttempt(run))
    Print(fmt::format("attempt {}, phase {} for {:.0f} min", StrategyWord(active->strategy), active->phases.back().phase, (now - active->phases.back().start).minutes()));
  PrintBody(run);
  PrintBudgets(BudgetsOf(run, patient, *limits, now), AnticoagulationOf(run, patient, *limits, now));
  const Cautions cautions = CautionsOf(state, *limits, *changes, now);
  for (const Caution* caution : Holding(cautions))
    Print(fmt::format("{} {}: {} Clears: {}{}", caution->rule->id, SeverityWord(caution->severity), caution->text, caution->rule->clears, caution->accepted ? " (accepted: " + caution->accepted->value + ")" : ""));
  for (const NotWatched& one : cautions.not_watched) {
    std::string rules;
    for (const std::string_view rule : one.rules) rules += (rules.empty() ? "" : ", ") + std::string(rule);
    Print("not watched for want of " + one.lacks + ": " + rules);
  }
}

}  // namespace fairlead
