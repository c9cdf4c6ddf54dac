// SPDX-License-Identifier: Apache-2.0
// Complications with the technique in use when each began, what was done about it, and cautions that were accepted.
#include <fmt/core.h>

#include <algorithm>

#include "casebook/run_table.h"
#include "reasoning/caution/caution.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

constexpr Verb kTreatments[] = {Verb::kDrain, Verb::kCover, Verb::kCoil, Verb::kProtamine, Verb::kCall, Verb::kCpr, Verb::kBalloon, Verb::kDrug, Verb::kFluid, Verb::kEcho};

// What was done between its begin and its end, or within two hours of a begin without an end (chosen).
std::string TreatmentOf(const ReportMatter& matter, const Trouble& trouble) {
  const Instant end = trouble.over.value_or(trouble.at + Duration::Minutes(120.0));
  std::vector<std::string> parts;
  for (const VisitEvent& event : matter.events)
    if (event.at >= trouble.at && event.at <= end && std::ranges::find(kTreatments, event.event->verb) != std::end(kTreatments))
      parts.push_back(ClockOf(matter, event.at) + " " + RunText(*event.event));
  return parts.empty() ? "nothing in the log" : ListText(parts, "; ");
}

std::string What(const Trouble& trouble) {
  std::string text = trouble.kind.empty() ? "not named" : trouble.kind;
  if (!trouble.grade.empty()) text += trouble.kind == "perforation" ? ", class " + trouble.grade : ", " + trouble.grade;
  return text;
}

}  // namespace

ReportSection ComplicationSection(const ReportMatter& matter) {
  ReportSection section{"complications", "Complications", {}, {}, {}};
  const RunState& run = matter.run;
  ReportTable table{"", {"began", "what", "site, cause", "technique then", "in the body then", "what was done", "over"}, {8, 15, 15, 11, 15, 28, 8}, {}, {}};
  for (const Trouble& trouble : run.troubles) {
    table.rows.push_back({ClockOf(matter, trouble.at), What(trouble), ListText({trouble.site, trouble.cause.empty() ? "" : "by " + trouble.cause}),
                          trouble.active ? std::string(StrategyWord(*trouble.active)) : "none", ListText(trouble.in_body),
                          TreatmentOf(matter, trouble), trouble.over ? ClockOf(matter, *trouble.over) : "not recorded"});
    if (trouble.kind.empty()) Need(section, "Which trouble it was at " + ClockOf(matter, trouble.at), std::nullopt, {ReportFill::How::kLog, "amend the trouble with its kind"});
    if (trouble.kind == "perforation" && trouble.grade.empty()) Need(section, "Class of the perforation of " + ClockOf(matter, trouble.at), std::nullopt, {ReportFill::How::kLog, "amend the perforation with its class"});
  }
  const bool asked = run.ticks.contains({"close", "complications"});
  if (!table.rows.empty()) section.tables.push_back(std::move(table));
  else Need(section, "Complications", asked ? std::optional<std::string>("none recorded, and the question was asked at the close") : std::nullopt, {ReportFill::How::kLog, "tick close complications done"});
  if (std::ranges::any_of(run.troubles, [](const Trouble& trouble) { return trouble.kind == "perforation"; }))
    section.lines.push_back({"Classes of perforation", "I crater; II blush, hole below 1 mm; III jet through 1 mm or more", std::nullopt, {}, "perforation-1994"});
  for (const auto& [rule, why] : run.accepted) {
    const Rule* found = FindRule(rule);
    Say(section, "Caution accepted at " + ClockOf(matter, why.at), rule + (found == nullptr ? "" : ", " + std::string(found->watches)) + (why.value.empty() ? "" : ": " + why.value), {why.entry});
  }
  return section;
}

}  // namespace fairlead
