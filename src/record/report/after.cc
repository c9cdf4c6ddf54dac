// SPDX-License-Identifier: Apache-2.0
// Duties after the visit with their dates; if it failed, what was left for the next time; remarks of the day.
#include <fmt/core.h>

#include <algorithm>

#include "reasoning/dose/followup.h"
#include "record/picture/wish.h"
#include "record/report/note.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

using How = ReportFill::How;

// Boxes over what is written in a picture, and what is said in a lecture: no remarks of the day.
bool BelongsElsewhere(std::string_view note) {
  return note.starts_with("mask: ") || note.starts_with("lesson:") || note.starts_with("speaker:");
}

Instant VisitEnd(const ReportMatter& matter) {
  const RunSession* session = PresentSession(matter.run);
  return session == nullptr ? matter.run.last_at : session->end.value_or(matter.run.last_at);
}

std::string DueText(const ReportMatter& matter, double days) { return DayOf(VisitEnd(matter) + Duration::Minutes(days * 24.0 * 60.0), matter.zone); }

bool Entered(const ReportMatter& matter, std::string_view kind) {
  return std::ranges::any_of(matter.run.follow_ups, [kind](const auto& follow) { return WordOf(follow.value, RunField::kKind) == kind; });
}

void AddFollowUps(ReportSection& section, const ReportMatter& matter) {
  for (const auto& follow : matter.run.follow_ups) {
    const RunEvent& event = follow.value;
    const std::string kind(WordOf(event, RunField::kKind)), outcome(WordOf(event, RunField::kOutcome));
    const double days = NumberOf(event, RunField::kDays).value_or(0.0);
    const bool due = WordOf(event, RunField::kState) == "due";
    Say(section, kind.empty() ? "Follow-up" : kind == "visit" ? "Visit" : kind == "skin" ? "Look at the skin" : "Creatinine",
        WithRemark(ListText({(due ? "due " : "done ") + DueText(matter, days) + fmt::format(" (day {})", Plain(days)), outcome}), event), {follow.entry});
  }
}

// Published levels that the totals reached; what they ask for is due, whoever has entered it.
void AddSkin(ReportSection& section, const ReportMatter& matter) {
  const auto last = [](const Console& console) { return console.sums.empty() ? std::nullopt : std::optional(console.sums.back().value); };
  const auto reached = LevelsReached({last(matter.run.air_kerma), last(matter.run.kerma_area), last(matter.run.fluoro), std::nullopt});
  for (const ReachedLevel& level : reached) Say(section, "Radiation level reached", level.what + ": " + std::string(level.asks), {}, level.source.id);
  if (reached.empty()) {
    if (last(matter.run.air_kerma)) Say(section, "Skin", "no published level for a follow-up was reached by the totals");
    return;
  }
  if (!Died(matter.run) && !Entered(matter, "skin"))
    Need(section, fmt::format("Who looks at the skin, between {} and {} (two to four weeks)", DueText(matter, 14.0), DueText(matter, 28.0)), std::nullopt, {How::kLog, "followup skin due 28d"});
}

}  // namespace

bool Died(const RunState& run) {
  return std::ranges::any_of(run.follow_ups, [](const auto& follow) { return WordOf(follow.value, RunField::kOutcome) == "death" && WordOf(follow.value, RunField::kState) != "due"; });
}

ReportSection AfterSection(const ReportMatter& matter) {
  ReportSection section{"after", "After the procedure", {}, {}, {}};
  AddFollowUps(section, matter);
  const bool died = Died(matter.run);
  if (!died && !matter.run.contrast.empty() && !Entered(matter, "creatinine"))
    Need(section, fmt::format("Who checks the creatinine, between {} and {} (one to three days)", DueText(matter, 1.0), DueText(matter, 3.0)), std::nullopt, {How::kLog, "followup creatinine due 2d"});
  AddSkin(section, matter);
  if (!died && !Entered(matter, "visit")) Need(section, "Visit after the procedure", std::nullopt, {How::kLog, "followup visit due 30d"});
  SayTick(section, matter, "ACT at sheath removal", "close", "act", false);
  SayTick(section, matter, "Drugs after: antiplatelets, fluids", "close", "drugs", true);
  SayTick(section, matter, "Creatinine", "close", "creatinine", false);
  SayTick(section, matter, "Skin", "close", "skin", false);
  return section;
}

ReportSection FailedSection(const ReportMatter& matter) {
  ReportSection section{"failed", "If it is to be tried again", {}, {}, {}};
  if (!matter.run.result || WordOf(matter.run.result->value, RunField::kOutcome) == "success") return section;
  const RunEvent& event = matter.run.result->value;
  const std::string reason = ReasonText(WordOf(event, RunField::kReason));
  Need(section, "Why it was not finished", reason.empty() ? std::nullopt : std::optional(reason), {How::kLog, "amend the result with its reason"}, {matter.run.result->entry});
  std::vector<std::string> left;
  if (!matter.run.knuckles.empty()) left.emplace_back("dissection made by a looped wire");
  for (const auto& balloon : matter.run.balloons) left.push_back("balloon " + SizeText(balloon.value.event) + " at " + ClockOf(matter, balloon.at));
  if (const auto flow = matter.run.flows.find(""); flow != matter.run.flows.end()) left.push_back("flow TIMI " + Plain(flow->second.value));
  Need(section, "What was left behind", left.empty() ? std::nullopt : std::optional(ListText(left, "; ")), {How::kText, "failed"});
  if (!Died(matter.run)) Need(section, "When to look again, and what to bring", std::nullopt, {How::kText, "failed"});
  return section;
}

ReportSection RemarkSection(const ReportMatter& matter) {
  ReportSection section{"remarks", "Remarks of the day", {}, {}, {}};
  for (const EntryIndex index : matter.state.notes) {
    const Entry& entry = matter.state.entries[index];
    const auto* note = std::get_if<NoteWritten>(&entry.data);
    if (note == nullptr || NoteForSection(note->text) || IsWish(note->text) || BelongsElsewhere(note->text)) continue;
    Say(section, DayOf(entry.at, matter.zone) + " " + ClockOf(matter, entry.at) + ", " + entry.by, note->text, {entry.id});
  }
  return section;
}

}  // namespace fairlead
