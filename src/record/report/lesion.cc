// SPDX-License-Identifier: Apache-2.0
// The occlusion as it was known, its scores, and what was planned.
#include <fmt/core.h>

#include <algorithm>

#include "reasoning/assess/assess.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

std::string TotalOf(const ScoreResult& result) {
  if (!result.totals) return result.low == result.high ? Plain(result.low) : fmt::format("{} to {}", Plain(result.low), Plain(result.high));
  if (result.totals->size() == 1) return Plain(result.totals->begin()->first);
  std::vector<std::string> parts;
  for (const auto& [total, odds] : *result.totals)
    if (odds >= 0.005) parts.push_back(fmt::format("{} ({:.0f} %)", Plain(total), odds * 100.0));
  return ListText(parts);
}

std::string GroupOf(const ScoreResult& result) {
  if (!result.group) return ListText(result.reachable_groups, " or ");
  std::vector<std::string> parts;
  for (const auto& [name, odds] : *result.group)
    if (odds >= 0.005) parts.push_back(odds > 0.995 ? name : fmt::format("{} {:.0f} %", name, odds * 100.0));
  return ListText(parts);
}

// As a reader calls them: "Proximal tortuosity", not the dictionary's name.
std::vector<std::string> LabelsOf(const std::vector<std::string>& names) {
  std::vector<std::string> labels;
  for (const std::string& name : names) {
    const FactRow* row = FindFact(name);
    labels.push_back(row == nullptr ? name : std::string(row->label));
  }
  return labels;
}

// Scores on HOLD have no total; those that do not apply are left out.
void AddScores(ReportSection& section, const ReportMatter& matter) {
  ReportTable table{"Scores, from the facts as they stand", {"score", "total", "group", "still missing"}, {26, 24, 24, 26}, {}, {}};
  for (const ScoreResult& result : Assess(matter.stated).scores) {
    if (!result.applies || result.definition->status == ScoreStatus::kHold) continue;
    if (!result.totals && result.missing.size() > 3) continue;
    const std::string of = result.of.empty() ? "" : " of " + result.of;
    table.rows.push_back({std::string(result.definition->name) + of, TotalOf(result), GroupOf(result), ListText(LabelsOf(result.missing))});
  }
  if (table.rows.empty()) return;
  table.remarks.emplace_back("Odds in brackets follow from the uncertainty of the facts. Published groups of other cohorts; scores with more than three missing facts are left out.");
  section.tables.push_back(std::move(table));
}

}  // namespace

ReportSection OcclusionSection(const ReportMatter& matter) {
  ReportSection section{"occlusion", "The occlusion", {}, {}, {}};
  static constexpr std::string_view kNeeded[] = {"cto_segment", "occlusion_duration_months", "stump_angio", "length_angio_mm", "calcification_angio", "bend_angio_deg", "previous_failed_attempts", "interventional_collateral"};
  for (const FactRow& row : Dictionary()) {
    const bool lesion = row.group == FactGroup::kLesion || row.group == FactGroup::kOnCt || row.group == FactGroup::kDistal || row.group == FactGroup::kCollateral;
    if (!lesion || row.per_channel) continue;
    SayFact(section, matter, row.name, std::ranges::find(kNeeded, row.name) != std::end(kNeeded));
  }
  for (const std::string& channel : Channels(matter.state))
    for (const FactRow& row : Dictionary())
      if (row.per_channel) SayFact(section, matter, row.name, false, channel);
  AddScores(section, matter);
  return section;
}

// "go-on"; "closed: RW c1".
std::string DecisionWords(const RunEvent& decision) {
  std::string words(WordOf(decision, RunField::kDecision));
  const std::string_view strategy = WordOf(decision, RunField::kStrategy), channel = WordOf(decision, RunField::kChannel);
  if (!strategy.empty()) words += ": " + std::string(strategy) + (channel.empty() ? "" : " " + std::string(channel));
  return words;
}

ReportSection PlanSection(const ReportMatter& matter) {
  ReportSection section{"plan", "Plan", {}, {}, {}};
  const RunSession* session = PresentSession(matter.run);
  std::optional<std::string> frozen;
  if (session != nullptr && session->plan) frozen = "version " + Plain(*session->plan) + ", frozen at time-out";
  Need(section, "Version of the plan", std::move(frozen), {ReportFill::How::kLog, "timeout plan:1"});
  SayFact(section, matter, "strategy_category", false);
  Say(section, "Limits of the lab", fmt::format("{} min; contrast {} × kidney function; air kerma {} Gy", Plain(matter.limits.minutes), Plain(matter.limits.contrast_ratio), Plain(matter.limits.air_kerma_gy)));
  for (const VisitEvent& decision : EventsOf(matter, Verb::kDecide))
    Say(section, "Decision at " + ClockOf(matter, decision.at), WithRemark(DecisionWords(*decision.event), *decision.event), {*decision.entry});
  return section;
}

}  // namespace fairlead
