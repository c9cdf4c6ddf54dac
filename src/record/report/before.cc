// SPDX-License-Identifier: Apache-2.0
// What stands before the first wire: identity, why, the patient, consent, access.
#include <fmt/core.h>

#include <algorithm>
#include <set>

#include "reasoning/caution/gate.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

constexpr auto kHand = ReportFill::How::kHand;

std::string TeamOf(const ReportMatter& matter) {
  std::set<std::string> names;
  for (const Entry& entry : matter.state.entries)
    if (!entry.by.empty() && std::holds_alternative<RunEvent>(entry.data)) names.insert(entry.by);
  return ListText({names.begin(), names.end()});
}

std::string GateLine(const ReportMatter& matter, const Gate& gate, std::vector<std::string>& because) {
  int done = 0;
  std::vector<std::string> not_done, open;
  for (const GateItem& item : gate.items) {
    const auto found = matter.run.ticks.find({std::string(gate.id), std::string(item.id)});
    if (found == matter.run.ticks.end()) {
      open.emplace_back(item.id);
      continue;
    }
    because.push_back(found->second.entry);
    if (found->second.value.state == "not") not_done.push_back(ListText({std::string(item.id), found->second.value.why}, ": "));
    else ++done;
  }
  std::string text = fmt::format("{} of {} looked at", static_cast<std::size_t>(done) + not_done.size(), gate.items.size());
  if (!not_done.empty()) text += "; not done: " + ListText(not_done, "; ");
  if (!open.empty()) text += "; not ticked: " + ListText(open);
  return text;
}

std::vector<std::string> SheathRow(const ReportMatter& matter, const VisitEvent& access) {
  const auto site = WordOf(*access.event, RunField::kSite), side = WordOf(*access.event, RunField::kBodySide);
  const auto size = NumberOf(*access.event, RunField::kFrench), length = NumberOf(*access.event, RunField::kWireLength);
  std::string out, closed;
  const auto matches = [&](const VisitEvent& event) {
    const auto its_site = WordOf(*event.event, RunField::kSite), its_side = WordOf(*event.event, RunField::kBodySide);
    return (its_site.empty() || its_site == site) && (its_side.empty() || side.empty() || its_side == side);
  };
  for (const VisitEvent& event : EventsOf(matter, Verb::kSheath))
    if (WordOf(*event.event, RunField::kMove) == "out" && matches(event)) out = ClockOf(matter, event.at);
  for (const VisitEvent& event : EventsOf(matter, Verb::kClosure)) {
    if (!matches(event)) continue;
    const std::string went(WordOf(*event.event, RunField::kOutcome));
    closed = WithRemark(ClockOf(matter, event.at) + " " + ListText({std::string(WordOf(*event.event, RunField::kKind)), went}), *event.event);
  }
  return {ListText({std::string(site), std::string(side)}, " "),
          ListText({size ? Plain(*size) + " F" : "", length ? Plain(*length) + " cm" : ""}),
          WordOf(*access.event, RunField::kBy).empty() ? "not said" : std::string(WordOf(*access.event, RunField::kBy)),
          ClockOf(matter, access.at), out.empty() ? "not recorded" : out, closed.empty() ? "not recorded" : closed};
}

}  // namespace

ReportSection IdentitySection(const ReportMatter& matter) {
  ReportSection section{"identity", "Patient, day and team", {}, {}, {}};
  // Names and numbers of patients are not kept in the journal: the sheet leaves room for the lab's own label.
  Need(section, "Patient: name, number, date of birth", std::nullopt, {kHand, "stick the patient's label here"});
  const RunSession* session = PresentSession(matter.run);
  Need(section, "Day", session == nullptr ? std::nullopt : std::optional(DayOf(session->start, matter.zone)), {ReportFill::How::kLog, "access femoral right 7F"});
  if (const CaseOpened* opened = CaseInfo(matter.state); opened != nullptr) {
    Say(section, "Case", opened->title);
    if (!opened->room.empty()) Say(section, "Room", opened->room);
  }
  const std::string team = TeamOf(matter);
  Need(section, "Written in the log by", team.empty() ? std::nullopt : std::optional(team), {ReportFill::How::kLog, "timeout"});
  Need(section, "Operators", std::nullopt, {kHand, "first and second operator, by hand or in words below"});
  if (matter.run.sessions.size() > 1) {
    std::vector<std::string> days;
    for (std::size_t i = 0; i + 1 < matter.run.sessions.size(); ++i) days.push_back(DayOf(matter.run.sessions[i].start, matter.zone));
    Say(section, "Earlier visits", ListText(days));
  }
  return section;
}

ReportSection IndicationSection(const ReportMatter& matter) {
  ReportSection section{"indication", "Indication", {}, {}, {}};
  SayTick(section, matter, "Symptoms and drugs tried", "before", "symptoms", BeliefOf(matter.facts, {"angina_class", ""}) == Belief{Unknown{}});
  SayTick(section, matter, "Ischaemia or viability", "before", "ischaemia", BeliefOf(matter.facts, {"ischaemic_share_pct", ""}) == Belief{Unknown{}});
  SayTick(section, matter, "Alternatives offered", "before", "alternatives", BeliefOf(matter.facts, {"alternatives_offered", ""}) == Belief{Unknown{}});
  for (const FactRow& row : Dictionary())
    if (row.group == FactGroup::kIndication) SayFact(section, matter, row.name, false);
  return section;
}

ReportSection PatientSection(const ReportMatter& matter) {
  ReportSection section{"patient", "State before", {}, {}, {}};
  static constexpr std::string_view kNeeded[] = {"age_years", "sex", "lvef_pct", "creatinine", "haemoglobin", "weight_kg"};
  const auto labs = EventsOf(matter, Verb::kLab);
  const auto drawn = [&labs](RunField field) { return std::ranges::any_of(labs, [field](const VisitEvent& lab) { return NumberOf(*lab.event, field).has_value(); }); };
  for (const FactRow& row : Dictionary()) {
    if (row.group != FactGroup::kPatient) continue;
    const bool needed = std::ranges::find(kNeeded, row.name) != std::end(kNeeded) && !(row.name == "haemoglobin" && drawn(RunField::kHaemoglobin)) && !(row.name == "creatinine" && drawn(RunField::kCreatinine));
    SayFact(section, matter, row.name, needed);
  }
  if (matter.patient.egfr && BeliefOf(matter.facts, {"egfr", ""}) == Belief{Unknown{}})
    Say(section, "Kidney function, computed", fmt::format("{:.0f} mL/min/1.73 m²", *matter.patient.egfr), {}, "ckd-epi-2021");
  for (const VisitEvent& lab : EventsOf(matter, Verb::kLab)) {
    std::vector<std::string> parts;
    for (const auto& [field, unit] : {std::pair(RunField::kHaemoglobin, "haemoglobin {} g/dL"), std::pair(RunField::kCreatinine, "creatinine {} mg/dL"),
                                      std::pair(RunField::kTroponin, "troponin {} × limit"), std::pair(RunField::kCkMb, "CK-MB {} × limit")})
      if (const auto value = NumberOf(*lab.event, field)) parts.push_back(fmt::format(fmt::runtime(unit), Plain(*value)));
    Say(section, "Blood at " + DayOf(lab.at, matter.zone) + " " + ClockOf(matter, lab.at), WithRemark(ListText(parts), *lab.event), {*lab.entry});
  }
  return section;
}

ReportSection ConsentSection(const ReportMatter& matter) {
  ReportSection section{"consent", "Consent, time-out and gates", {}, {}, {}};
  SayTick(section, matter, "Consent", "before", "consent", true);
  SayTick(section, matter, "Allergies", "before", "allergy", true);
  const RunSession* session = PresentSession(matter.run);
  std::optional<std::string> held;
  if (session != nullptr && session->timeout) held = "held at " + ClockOf(matter, *session->timeout);
  Need(section, "Time-out", std::move(held), {ReportFill::How::kLog, "timeout"});
  for (const Gate& gate : Gates()) {
    std::vector<std::string> because;
    std::string text = GateLine(matter, gate, because);
    if (because.empty()) {
      if (gate.id != "externalise") Need(section, "Gate: " + std::string(gate.title), std::nullopt, {ReportFill::How::kLog, "tick " + std::string(gate.id) + " " + std::string(gate.items.front().id) + " done"});
      continue;
    }
    Say(section, "Gate: " + std::string(gate.title), std::move(text), std::move(because));
  }
  return section;
}

ReportSection AccessSection(const ReportMatter& matter) {
  ReportSection section{"access", "Access", {}, {}, {}};
  const auto punctures = EventsOf(matter, Verb::kAccess);
  if (punctures.empty()) {
    Need(section, "Arterial access", std::nullopt, {ReportFill::How::kLog, "access femoral right 7F 45cm ultrasound"});
    return section;
  }
  ReportTable table{"", {"site", "sheath", "guided by", "in", "out", "closure"}, {16, 14, 12, 9, 13, 36}, {}, {}};
  for (const VisitEvent& puncture : punctures) table.rows.push_back(SheathRow(matter, puncture));
  section.tables.push_back(std::move(table));
  return section;
}

}  // namespace fairlead
