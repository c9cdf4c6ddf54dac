// SPDX-License-Identifier: Apache-2.0
// What came of it: raw values, and every label that published definitions give them.
#include <fmt/core.h>

#include "record/report/findings.h"

namespace fairlead {
namespace {

using How = ReportFill::How;

std::string NextText(std::string_view decision) {
  if (decision == "again") return "another attempt";
  if (decision == "refer") return "refer";
  if (decision == "medical") return "drugs alone";
  return decision == "surgery" ? "bypass operation" : std::string(decision);
}

}  // namespace

ReportSection ResultSection(const ReportMatter& matter) {
  ReportSection section{"result", "Result", {}, {}, {}};
  const RunState& run = matter.run;
  const ResultFindings found = FindingsOf(matter);
  std::optional<std::string> outcome, residual, flow;
  std::vector<std::string> because;
  if (run.result) {
    const RunEvent& event = run.result->value;
    outcome = WithRemark(ListText({std::string(WordOf(event, RunField::kOutcome)), ReasonText(WordOf(event, RunField::kReason)),
                                   NextText(WordOf(event, RunField::kDecision))}), event);
    because = {run.result->entry};
  }
  Need(section, "As said at the end", std::move(outcome), {How::kLog, "result success"}, std::move(because));
  if (found.residual_pct) residual = Plain(*found.residual_pct) + " % diameter stenosis";
  if (found.flow) flow = "TIMI " + std::to_string(*found.flow);
  Need(section, "Residual stenosis", std::move(residual), {How::kLog, "residual 10%"}, run.residual ? std::vector{run.residual->entry} : std::vector<std::string>{});
  Need(section, "Flow of the vessel", std::move(flow), {How::kLog, "flow 3"});
  for (const auto& [branch, grade] : run.flows)
    if (!branch.empty()) Say(section, "Flow of " + branch, "TIMI " + Plain(grade.value), {grade.entry});
  for (const auto& [branch, kept] : run.branches) Say(section, "Branch " + (branch.empty() ? std::string("not named") : branch), kept.value, {kept.entry});
  if (!found.branch_lost) Need(section, "Side branches", std::nullopt, {How::kLog, "branch preserved d1"});
  if (run.donor) Say(section, "Donor artery", run.donor->value, {run.donor->entry});
  for (const auto& echo : run.echoes) {
    const auto& seen = echo.value;
    Say(section, "Echo at " + ClockOf(matter, echo.at), ListText({seen.finding == "none" ? "no effusion" : seen.finding, seen.effusion_mm ? Plain(*seen.effusion_mm) + " mm" : "", seen.loculated ? "loculated" : ""}), {echo.entry});
  }
  for (const char* item : {"flow", "donor", "channel", "pericardium", "gear"}) SayTick(section, matter, "Looked at last: " + std::string(item), "last-wire", item, false);
  return section;
}

ReportSection LabelSection(const ReportMatter& matter) {
  ReportSection section{"labels", "What published definitions call it", {}, {}, {}};
  ReportTable table{"", {"label", "answer", "because", "definition", "source"}, {20, 11, 22, 27, 20}, {}, {}};
  for (const ResultLabel& label : LabelsOf(FindingsOf(matter))) {
    const std::string answer = ListText({std::string(LabelAnswerWord(label.answer)), label.grade});
    table.rows.push_back({std::string(label.name), answer, label.because, std::string(label.definition), CitationOf(label.source.id)});
  }
  table.remarks.emplace_back("Definitions differ: rates by one do not compare with rates by another. What nobody recorded is not known, never \"no\".");
  section.tables.push_back(std::move(table));
  return section;
}

}  // namespace fairlead
