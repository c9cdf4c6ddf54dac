// SPDX-License-Identifier: Apache-2.0
// What the sections are written with. Inside this room only.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fact.h"
#include "casebook/run/run_state.h"
#include "reasoning/budget/patient.h"
#include "record/report/report.h"

namespace fairlead {

// A run event of this visit.
struct VisitEvent {
  const RunEvent* event = nullptr;
  Instant at;
  const std::string* entry = nullptr;
};

struct ReportMatter {
  const State& state;
  RunState run;
  Facts stated, facts;             // with derived ones
  RunPatient patient;
  RunLimits limits;
  Duration zone;
  std::vector<VisitEvent> events;  // of this visit, in order
};
ReportMatter MatterOf(const State& state, const ReportSettings& settings);

// Whether somebody wrote down that the patient died: nothing of the future is asked for then.
bool Died(const RunState& run);

// The events of one verb.
std::vector<VisitEvent> EventsOf(const ReportMatter& matter, Verb verb);

// --- Writing.
void Say(ReportSection& section, std::string label, std::string value, std::vector<std::string> because = {}, std::string_view source = {});
// The value, or a gap that says how to fill it.
void Need(ReportSection& section, std::string label, std::optional<std::string> value, ReportFill fill, std::vector<std::string> because = {});
// The fact if it is known; else a gap if it is needed.
void SayFact(ReportSection& section, const ReportMatter& matter, std::string_view name, bool needed, const std::string& of = {});
// An item of a gate: "done: remark", "not done: why"; else a gap.
void SayTick(ReportSection& section, const ReportMatter& matter, std::string label, std::string gate, std::string item, bool needed);

std::string ClockOf(const ReportMatter& matter, Instant at);   // "08:20"
std::string DayOf(Instant at, Duration zone);                  // "2026-09-17"
std::string MinutesText(Instant from, Instant to);             // "24 min"
std::string WithRemark(std::string text, const RunEvent& event);
std::string Plain(double value);                               // "0.48", "208"
std::string StrategyText(Strategy strategy);                   // "antegrade wiring (AW)"
std::string ReasonText(std::string_view code);                 // "wire outside the plaque"
std::string ListText(const std::vector<std::string>& parts, std::string_view between = ", ");
// What the event says beside its verb: "conventional, 2.5 mm, segment 2".
std::string EventText(const RunEvent& event);
// "2.5 × 20 mm, 14 atm, 20 s, segment 2"
std::string SizeText(const RunEvent& event);

// Lines in which the words are; a source's citation for a person.
std::string CitationOf(std::string_view source);

// --- The sections, each in the file named after its part of the day.
ReportSection IdentitySection(const ReportMatter& matter);       // before.cc
ReportSection IndicationSection(const ReportMatter& matter);
ReportSection PatientSection(const ReportMatter& matter);
ReportSection ConsentSection(const ReportMatter& matter);
ReportSection AccessSection(const ReportMatter& matter);
ReportSection OcclusionSection(const ReportMatter& matter);      // lesion.cc
ReportSection PlanSection(const ReportMatter& matter);
ReportSection StrategySection(const ReportMatter& matter);       // crossing.cc
ReportSection CrossingSection(const ReportMatter& matter);
ReportSection DeviceSection(const ReportMatter& matter);         // devices.cc
ReportSection TreatmentSection(const ReportMatter& matter);
ReportSection ResultSection(const ReportMatter& matter);         // result.cc
ReportSection LabelSection(const ReportMatter& matter);
ReportSection ComplicationSection(const ReportMatter& matter);   // harm.cc
ReportSection TotalSection(const ReportMatter& matter);          // totals.cc
ReportSection AfterSection(const ReportMatter& matter);          // after.cc
ReportSection FailedSection(const ReportMatter& matter);
ReportSection RemarkSection(const ReportMatter& matter);

}  // namespace fairlead
