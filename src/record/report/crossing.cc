// SPDX-License-Identifier: Apache-2.0
// The strategies in their order with what each took, and how the occlusion was crossed.
#include <fmt/core.h>

#include <algorithm>
#include <span>

#include "record/report/parts.h"

namespace fairlead {
namespace {

// What the last reading by `at` said; nothing if there was none.
std::optional<double> SaidBy(std::span<const At<double>> sums, Instant at) {
  std::optional<double> said;
  for (const At<double>& sum : sums)
    if (sum.at <= at) said = sum.value;
  return said;
}

// Between two moments, by the readings before each; consumption between readings falls to the later span.
std::string UsedText(std::span<const At<double>> sums, Instant from, Instant to, const char* unit) {
  const auto before = SaidBy(sums, from), after = SaidBy(sums, to);
  if (!after) return "no reading";
  const auto last = std::ranges::find_if(sums, [&](const At<double>& sum) { return sum.at > from && sum.at <= to; });
  if (last == sums.end()) return "no reading";
  return Plain(*after - before.value_or(0.0)) + unit;
}

std::string EndText(const RunAttempt& attempt) {
  switch (attempt.ended) {
    case AttemptEnd::kOpen: return "not ended in the log";
    case AttemptEnd::kCrossed: return "crossed";
    case AttemptEnd::kSwitched: return "changed";
    case AttemptEnd::kStopped: return "stopped";
  }
  return "";
}

std::string PhasesText(const RunAttempt& attempt, Instant end) {
  std::vector<std::string> parts;
  for (const PhaseSpan& phase : attempt.phases) {
    const std::string minutes = MinutesText(phase.start, phase.end.value_or(end));
    if (minutes == "0 min" && attempt.phases.size() > 1) continue;
    parts.push_back((phase.phase.empty() ? "start" : phase.phase) + " " + minutes);
  }
  return ListText(parts);
}

Instant EndOf(const ReportMatter& matter, const RunAttempt& attempt) { return attempt.end.value_or(matter.run.last_at); }

void Told(ReportSection& section, const ReportMatter& matter, Verb verb, const std::string& label) {
  for (const VisitEvent& event : EventsOf(matter, verb)) {
    Say(section, label + " at " + ClockOf(matter, event.at), EventText(*event.event), {*event.entry});
  }
}

void AddPlaces(ReportSection& section, const ReportMatter& matter) {
  ReportTable table{"Where the wires were, and how that is known", {"time", "wire", "from", "space", "proof", "segment"}, {10, 10, 18, 24, 24, 14}, {}, {}};
  for (const VisitEvent& event : EventsOf(matter, Verb::kSpace)) {
    const auto word = [&](RunField field, std::string_view otherwise) {
      const std::string_view said = WordOf(*event.event, field);
      return std::string(said.empty() ? otherwise : said);
    };
    table.rows.push_back({ClockOf(matter, event.at), word(RunField::kTag, "not said"), std::string(SideName(event.event->side)),
                          word(RunField::kSpace, kNotRecorded), word(RunField::kProof, "proof not recorded"), word(RunField::kSegment, "not said")});
  }
  if (!table.rows.empty()) section.tables.push_back(std::move(table));
}

void AddWinner(ReportSection& section, const ReportMatter& matter) {
  const RunState& run = matter.run;
  const auto crossed = std::ranges::find(run.attempts, AttemptEnd::kCrossed, &RunAttempt::ended);
  if (crossed != run.attempts.end()) Say(section, "Technique that crossed", StrategyText(crossed->strategy), {crossed->entry, crossed->end_entry});
  if (run.crossed_lesion)
    Say(section, "Occlusion crossed", ListText({"at " + ClockOf(matter, run.crossed_lesion->at), run.crossed_lesion->value.empty() ? "" : "wire " + run.crossed_lesion->value}), {run.crossed_lesion->entry});
  std::optional<std::string> proven;
  std::vector<std::string> because;
  if (run.distal_proven) {
    proven = "at " + ClockOf(matter, run.distal_proven->at) + ", by " + run.distal_proven->value;
    because = {run.distal_proven->entry};
  }
  const bool failed = !run.crossed_lesion && run.result;
  if (!failed) Need(section, "Far true lumen proven", std::move(proven), {ReportFill::How::kLog, "distal proven views"}, std::move(because));
  double minutes = 0.0;
  for (const RunAttempt& attempt : run.attempts) minutes += (EndOf(matter, attempt) - attempt.start).minutes();
  if (!run.attempts.empty()) {
    Say(section, "Guidewire time", fmt::format("{:.0f} min, the sum of the strategies", minutes));
    if (run.distal_proven) Say(section, "From the first wire to the proof", MinutesText(run.attempts.front().start, run.distal_proven->at));
  }
}

}  // namespace

ReportSection StrategySection(const ReportMatter& matter) {
  ReportSection section{"strategies", "Strategies", {}, {}, {}};
  const RunState& run = matter.run;
  if (run.attempts.empty()) {
    Need(section, "Strategies", std::nullopt, {ReportFill::How::kLog, "start AW"});
    return section;
  }
  ReportTable table{"", {"strategy", "time", "minutes, by phase", "contrast", "air kerma", "ended", "why it was left"}, {21, 12, 21, 10, 10, 9, 17}, {}, {}};
  for (const RunAttempt& attempt : run.attempts) {
    const Instant end = EndOf(matter, attempt);
    const std::string channel = ListText({attempt.channel_kind, attempt.channel}, " ");
    std::string why = attempt.ended == AttemptEnd::kCrossed ? "crossed" : ReasonText(attempt.reason);
    if (why.empty()) why = kNotRecorded;
    table.rows.push_back({StrategyText(attempt.strategy) + (channel.empty() ? "" : ", " + channel), ClockOf(matter, attempt.start) + " to " + ClockOf(matter, end),
                          MinutesText(attempt.start, end) + ": " + PhasesText(attempt, end), UsedText(run.contrast, attempt.start, end, " mL"),
                          UsedText(run.air_kerma.sums, attempt.start, end, " Gy"), EndText(attempt), std::move(why)});
    if (attempt.ended != AttemptEnd::kCrossed && attempt.ended != AttemptEnd::kOpen && attempt.reason.empty())
      Need(section, "Why " + std::string(StrategyWord(attempt.strategy)) + " was left at " + ClockOf(matter, end), std::nullopt, {ReportFill::How::kLog, "amend the switch or stop with its reason"});
  }
  table.remarks.emplace_back("Contrast and air kerma by the last readings before start and end; what was used between two readings falls to the later span.");
  section.tables.push_back(std::move(table));
  return section;
}

ReportSection CrossingSection(const ReportMatter& matter) {
  ReportSection section{"crossing", "Crossing", {}, {}, {}};
  AddWinner(section, matter);
  Told(section, matter, Verb::kCollateral, "Channel");
  Told(section, matter, Verb::kKnuckle, "Looped wire");
  Told(section, matter, Verb::kReenter, "Re-entry");
  Told(section, matter, Verb::kJoin, "Sides joined");
  Told(section, matter, Verb::kAorta, "Wire in the aorta");
  Told(section, matter, Verb::kTipIn, "Tip-in");
  Told(section, matter, Verb::kExternalise, "Externalised");
  AddPlaces(section, matter);
  return section;
}

}  // namespace fairlead
