// SPDX-License-Identifier: Apache-2.0
#include "front/server/run_shown.h"

#include <fmt/core.h>

#include <algorithm>
#include <utility>

#include "casebook/derive.h"
#include "casebook/run/run_state.h"
#include "front/server/run_ladder.h"
#include "front/server/run_parts.h"
#include "front/server/shown.h"
#include "reasoning/budget/anticoagulation.h"
#include "reasoning/budget/budget.h"
#include "reasoning/caution/caution.h"
#include "reasoning/caution/gate.h"

namespace fairlead {
namespace {

constexpr double kLate_min = 5.0;  // typed so long after it happened, nobody saw a screen of that moment; chosen

std::string BudgetLine(const char* name, const char* unit, const Budget& budget, int digits) {
  std::string line = fmt::format("{} {:.{}f}", name, budget.used.value_or(0.0), digits);
  if (budget.limit) line += fmt::format(" of {:.{}f}", *budget.limit, digits);
  return line + " " + unit;
}

std::vector<std::string> FigureLines(const RunState& run, const RunPatient& patient, const RunLimits& limits, Instant at) {
  std::vector<std::string> lines;
  if (const RunAttempt* active = ActiveAttempt(run))
    lines.push_back(fmt::format("attempt {} {}, {:.0f} min in this phase", StrategyWord(active->strategy), active->phases.back().phase, (at - active->phases.back().start).minutes()));
  const RunBudgets budgets = BudgetsOf(run, patient, limits, at);
  lines.push_back(BudgetLine("time", "min", budgets.time, 0));
  lines.push_back(BudgetLine("contrast", "mL", budgets.contrast, 0));
  lines.push_back(BudgetLine("air kerma", "Gy", budgets.air_kerma, 2));
  const Anticoagulation held = AnticoagulationOf(run, patient, limits, at);
  if (held.last) lines.push_back(fmt::format("ACT {:.0f} s, {:.0f} min old, target {:.0f} s", held.last->value.seconds, *held.age_min, held.target_s));
  return lines;
}

std::vector<std::string> CautionLines(const Cautions& cautions) {
  std::vector<std::string> lines;
  for (const Caution* caution : Holding(cautions))
    lines.push_back(fmt::format("{} {}: {} [{}]{}", caution->rule->id, SeverityWord(caution->severity), caution->text, caution->rule->source.id,
                                caution->accepted ? " accepted: " + caution->accepted->value : ""));
  return lines;
}

std::vector<std::string> OpenLines(const RunState& run, const RunPatient& patient, Instant at) {
  std::vector<std::string> lines;
  for (const Gate& gate : Gates()) {
    std::string open;
    for (const ItemState& item : StateOfGate(run, patient, gate, at))
      if (item.state == "open") open += (open.empty() ? "" : ", ") + std::string(item.item->id);
    if (!open.empty()) lines.push_back("gate " + std::string(gate.id) + ", open: " + open);
  }
  return lines;
}

// The steps at which somebody chooses a way, or might; and the time-out, which freezes the plan.
bool AsksWhichWay(const EntryData& data) {
  const std::string step = StepOf(data);
  const auto* event = std::get_if<RunEvent>(&data);
  return step == "start" || step == "switch" || step == "phase" || step == "stop" || (event != nullptr && event->verb == Verb::kTimeout);
}

// A list is gone through from its top: with its last item it is passed.
bool PassesGate(const RunEvent& event) {
  const std::string_view gate = WordOf(event, RunField::kGate);
  const auto items = ItemsOf(gate);
  return event.verb == Verb::kTick && gate != "externalise" && !items.empty() && items.back().id == WordOf(event, RunField::kItem);
}

}  // namespace

std::string StepOf(const EntryData& data) {
  const auto* event = std::get_if<RunEvent>(&data);
  if (event == nullptr) return {};
  static constexpr std::pair<Verb, const char*> kSteps[] = {{Verb::kStart, "start"}, {Verb::kSwitch, "switch"}, {Verb::kPhase, "phase"}, {Verb::kStopped, "stop"}, {Verb::kDistal, "proof"},
                                                            {Verb::kDecide, "decision"}, {Verb::kTimeout, "gate"}, {Verb::kResult, "gate"}, {Verb::kEnd, "gate"}};
  for (const auto& [verb, step] : kSteps)
    if (verb == event->verb) return step;
  return PassesGate(*event) ? "gate" : "";
}

std::string RunShownText(const State& state, const Knowledge& lab, const Entry& entry, int draws) {
  const bool late = (entry.recorded - entry.at).minutes() > kLate_min;
  const Instant at = late ? entry.at : std::max(entry.at, entry.recorded);
  const auto limits = LimitsOf(lab);
  const auto changes = ChangesOf(lab);
  if (!limits.ok() || !changes.ok()) return "the lab's limits or rules could not be read\n";
  const RunState run = RunOf(state, at);
  const RunPatient patient = PatientOf(state, WithDerived(StandingFacts(state)), run);
  std::vector<std::string> lines;
  if (late) lines.emplace_back("typed late: as it would have read then");
  for (auto part : {FigureLines(run, patient, *limits, at), CautionLines(CautionsOf(state, *limits, *changes, at)), OpenLines(run, patient, at),
                    AsksWhichWay(entry.data) ? LadderLines(state, run, patient, *limits, lab, at, draws) : std::vector<std::string>{}})
    lines.insert(lines.end(), part.begin(), part.end());
  std::string text;
  std::size_t left_out = 0;
  for (const std::string& line : lines) {
    if (text.size() + line.size() + 80 > kLongestShown) ++left_out;
    else text += line + "\n";
  }
  return left_out == 0 ? text : text + fmt::format("{} more lines were shown\n", left_out);
}

}  // namespace fairlead
