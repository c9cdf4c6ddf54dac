// SPDX-License-Identifier: Apache-2.0
#include "record/report/parts.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "casebook/derive.h"
#include "casebook/entry_json.h"
#include "casebook/entry_text.h"
#include "casebook/run/run_check.h"
#include "casebook/run_table.h"
#include "measure/source.h"

namespace fairlead {

ReportMatter MatterOf(const State& state, const ReportSettings& settings) {
  ReportMatter matter{state, RunOf(state), StandingFacts(state), {}, {}, settings.limits, Duration::Minutes(settings.zone_min), {}};
  matter.facts = WithDerived(matter.stated);
  matter.patient = PatientOf(state, matter.facts, matter.run);
  // Blood and ticks before the first puncture belong to the visit that follows.
  const auto& sessions = matter.run.sessions;
  const bool earlier = sessions.size() > 1;
  const Instant before = earlier ? sessions[sessions.size() - 2].end.value_or(sessions.back().start) : Instant{};
  for (const EntryIndex index : state.run) {
    const Entry& entry = state.entries[index];
    if (earlier && entry.at <= before) continue;
    if (const auto* event = std::get_if<RunEvent>(&entry.data)) matter.events.push_back({event, entry.at, &entry.id});
  }
  return matter;
}

std::vector<VisitEvent> EventsOf(const ReportMatter& matter, Verb verb) {
  std::vector<VisitEvent> found;
  for (const VisitEvent& event : matter.events)
    if (event.event->verb == verb) found.push_back(event);
  return found;
}

void Say(ReportSection& section, std::string label, std::string value, std::vector<std::string> because, std::string_view source) {
  section.lines.push_back({std::move(label), std::move(value), std::nullopt, std::move(because), std::string(source)});
}

void Need(ReportSection& section, std::string label, std::optional<std::string> value, ReportFill fill, std::vector<std::string> because) {
  if (value) return Say(section, std::move(label), std::move(*value), std::move(because));
  section.lines.push_back({std::move(label), std::string(kNotRecorded), std::move(fill), {}, {}});
}

void SayFact(ReportSection& section, const ReportMatter& matter, std::string_view name, bool needed, const std::string& of) {
  const FactRow* row = FindFact(name);
  if (row == nullptr) return;
  const FactKey key{std::string(name), of};
  const std::string label = std::string(row->label) + (of.empty() ? "" : " of " + of);
  const Belief& belief = BeliefOf(matter.facts, key);
  if (std::holds_alternative<Unknown>(belief)) {
    if (needed) Need(section, label, std::nullopt, {ReportFill::How::kFact, key.name});
    return;
  }
  std::string text = BeliefText(*row, belief);
  // Weight or creatinine have no reader's spread: that nobody states one is no news.
  constexpr std::string_view kNoSpread = ", spread not stated";
  if (row->group == FactGroup::kPatient && text.ends_with(kNoSpread)) text.resize(text.size() - kNoSpread.size());
  const FactStated* stated = StandingFact(matter.state, key);
  if (stated == nullptr) return Say(section, label, text + " (derived)");
  text += " (" + std::string(MarkName(stated->mark)) + ")";
  if (!stated->note.empty()) text += "; " + stated->note;
  Say(section, label, std::move(text), {StandingFactEntry(matter.state, key)->id}, row->source.id);
}

void SayTick(ReportSection& section, const ReportMatter& matter, std::string label, std::string gate, std::string item, bool needed) {
  const auto found = matter.run.ticks.find({gate, item});
  if (found == matter.run.ticks.end()) {
    if (needed) Need(section, std::move(label), std::nullopt, {ReportFill::How::kLog, "tick " + gate + " " + item + " done"});
    return;
  }
  const Tick& tick = found->second.value;
  std::string text = tick.state == "done" ? "" : tick.state == "na" ? "does not apply" : "not done";
  if (!tick.why.empty()) text += (text.empty() ? "" : ": ") + tick.why;
  if (text.empty()) text = "done";
  Say(section, std::move(label), std::move(text), {found->second.entry});
}

std::string ClockOf(const ReportMatter& matter, Instant at) { return ClockText(at, matter.zone); }

std::string DayOf(Instant at, Duration zone) { return ToIso(at + zone).substr(0, 10); }

std::string MinutesText(Instant from, Instant to) { return fmt::format("{:.0f} min", std::floor((to - from).minutes() + 0.5)); }

std::string WithRemark(std::string text, const RunEvent& event) { return event.remark.empty() ? text : text + ": " + event.remark; }

std::string Plain(double value) { return fmt::format("{:.6g}", value); }

std::string StrategyText(Strategy strategy) {
  const std::string code(StrategyWord(strategy));
  switch (strategy) {
    case Strategy::kAntegradeWiring: return "antegrade wiring (" + code + ")";
    case Strategy::kAntegradeDissection: return "antegrade dissection and re-entry (" + code + ")";
    case Strategy::kRetrogradeWiring: return "retrograde wiring (" + code + ")";
    case Strategy::kRetrogradeDissection: return "retrograde dissection and re-entry (" + code + ")";
  }
  return code;
}

std::string ReasonText(std::string_view code) {
  static constexpr std::pair<std::string_view, std::string_view> kReasons[] = {
      {"cap-hard", "cap too hard for the wire"}, {"cap-unclear", "cap not clear"}, {"side-branch", "wire into a side branch"},
      {"outside-plaque", "wire outside the plaque"}, {"haematoma", "haematoma, no re-entry"}, {"catheter-stops", "catheter does not follow the wire"},
      {"uncrossable", "balloon does not cross"}, {"undilatable", "balloon does not open"}, {"support", "not enough support"},
      {"channel-wire", "channel not wired"}, {"channel-catheter", "catheter does not pass the channel"}, {"far-cap", "far cap not entered"},
      {"not-joined", "the two sides not joined"}, {"no-flow", "no flow"}, {"complication", "complication"}, {"limit", "a limit reached"},
      {"kit-or-skill", "kit or skill not at hand"}, {"patient", "the patient's state or wish"}, {"planned", "as planned"}};
  const auto* found = std::ranges::find(kReasons, code, [](const auto& reason) { return reason.first; });
  return std::string(found == std::end(kReasons) ? code : found->second);
}

std::string ListText(const std::vector<std::string>& parts, std::string_view between) {
  std::string text;
  for (const std::string& part : parts) {
    if (part.empty()) continue;
    text.append(text.empty() ? "" : between).append(part);
  }
  return text;
}

std::string EventText(const RunEvent& event) {
  RunEvent rest = event;
  const std::string segment(WordOf(event, RunField::kSegment));
  std::erase_if(rest.values, [](const RunValue& value) { return value.field == RunField::kSegment; });
  rest.remark.clear();
  std::string text = RunText(rest);
  const std::string verb(RowOf(event.verb).verb);
  text = text.starts_with(verb + " ") ? text.substr(verb.size() + 1) : text == verb ? std::string() : text;
  return WithRemark(ListText({text, segment.empty() ? "" : "segment " + segment}), event);
}

std::string SizeText(const RunEvent& event) {
  const auto number = [&](RunField field, const char* unit) {
    const auto value = NumberOf(event, field);
    return value ? Plain(*value) + unit : std::string();
  };
  std::string size = number(RunField::kDiameter, "");
  if (const auto length = NumberOf(event, RunField::kLength)) size += (size.empty() ? "" : " × ") + Plain(*length);
  if (!size.empty()) size += " mm";
  const std::string segment(WordOf(event, RunField::kSegment));
  return ListText({size, number(RunField::kPressure, " atm"), number(RunField::kFor, " s"), segment.empty() ? "" : "segment " + segment});
}

std::string CitationOf(std::string_view source) {
  const Source* found = FindSource(source);
  if (found == nullptr) return {};
  std::string text(found->citation);
  if (!found->doi.empty()) text.append(", doi ").append(found->doi);
  return found->checked == Checked::kMemory && found->kind != SourceKind::kPractice ? text + " (from memory)" : text;
}

}  // namespace fairlead
