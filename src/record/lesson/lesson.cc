// SPDX-License-Identifier: Apache-2.0
#include "record/lesson/lesson.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

#include "casebook/derive.h"
#include "casebook/entry_text.h"
#include "casebook/run/run_state.h"
#include "reasoning/caution/gate.h"
#include "record/lesson/clean.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

constexpr const char* kStrategies[] = {"antegrade wiring (AW)", "antegrade dissection and re-entry (ADR)", "retrograde wiring (RW)", "retrograde dissection and re-entry (RDR)"};
std::string StrategyName(Strategy strategy) { return kStrategies[static_cast<std::size_t>(strategy)]; }

// What was known at `at`: entries that had been written by then, as they happened by then. A value that somebody typed
// afterwards for an earlier moment is not among them. `but` is the decision itself.
State KnownAt(const State& state, Instant at, const std::string& but) {
  std::vector<Entry> known;
  for (const Entry& entry : state.entries)
    if (entry.written <= at && entry.id != but) known.push_back(entry);
  return Fold(std::move(known), AsItWas{at});
}

// Ages above 89 become one group, as identifying rules ask.
std::string FactValue(const FactRow& row, const Belief& belief) {
  const auto* number = std::get_if<Number>(&belief);
  if (row.name == "age_years" && number != nullptr && number->value >= 90.0) return "90 years or more";
  return BeliefText(row, belief);
}

std::vector<LessonLine> FactsOf(const State& state) {
  std::vector<LessonLine> lines;
  for (const auto& [key, belief] : WithDerived(StandingFacts(state))) {
    const FactRow* row = FindFact(key.name);
    if (row == nullptr || std::holds_alternative<Unknown>(belief)) continue;
    lines.push_back({std::string(row->label) + (key.of.empty() ? "" : " of " + key.of), FactValue(*row, belief)});
  }
  return lines;
}

std::string Minutes(Instant from, Instant to) { return fmt::format("{:.0f}", std::floor((to - from).minutes() + 0.5)); }

std::vector<LessonLine> SituationOf(const RunState& run, Instant at) {
  std::vector<LessonLine> lines;
  if (const RunAttempt* active = ActiveAttempt(run))
    lines.push_back({"Under way", StrategyName(active->strategy) + " for " + Minutes(active->start, at) + " min, " + active->phases.back().phase + " for " + Minutes(active->phases.back().start, at) + " min"});
  for (const RunAttempt& attempt : run.attempts)
    if (attempt.end) lines.push_back({"Tried", StrategyName(attempt.strategy) + ", " + Minutes(attempt.start, *attempt.end) + " min" + (attempt.reason.empty() ? "" : ", left: " + ReasonText(attempt.reason))});
  for (const RunDevice* device : InBody(run)) {
    if (!device->place) continue;
    lines.push_back({"Wire " + device->tag + ", " + std::string(SideName(device->side)), device->place->space + (device->place->proof.empty() ? "" : " by " + device->place->proof)});
  }
  if (!run.contrast.empty()) lines.push_back({"Contrast", fmt::format("{:g} mL", run.contrast.back().value)});
  if (!run.air_kerma.sums.empty()) lines.push_back({"Air kerma", fmt::format("{:g} Gy", run.air_kerma.sums.back().value)});
  if (!run.acts.empty()) lines.push_back({"Last ACT", fmt::format("{:g} s, {} min ago", run.acts.back().value.seconds, Minutes(run.acts.back().at, at))});
  return lines;
}

// What the engine wrote down as shown, right after the decision's entry.
std::string ScreensAfter(const State& state, std::size_t index) {
  for (std::size_t i = index + 1; i < state.entries.size() && i <= index + 3; ++i)
    if (const auto* shown = std::get_if<Shown>(&state.entries[i].data); shown != nullptr && shown->at_step != "signed") return shown->text;
  return {};
}

struct Decision {
  std::size_t index;
  const Entry* entry;
  const RunEvent* event;
};

bool Decides(Verb verb) {
  return verb == Verb::kStart || verb == Verb::kSwitch || verb == Verb::kStopped || verb == Verb::kDecide || verb == Verb::kPerforation || verb == Verb::kTamponade ||
         verb == Verb::kTrouble || verb == Verb::kDissection || verb == Verb::kThrombus || verb == Verb::kStuck;
}

std::vector<Decision> DecisionsOf(const State& state) {
  std::vector<Decision> found;
  for (const EntryIndex index : state.run) {
    const Entry& entry = state.entries[index];
    const auto* event = std::get_if<RunEvent>(&entry.data);
    if (event != nullptr && Decides(event->verb) && !RatesAWay(*event) && WordOf(*event, RunField::kState).empty()) found.push_back({index, &entry, event});
  }
  return found;
}

void AskStrategy(LessonPoint& point, const RunEvent& event, const RunState& before) {
  const RunAttempt* active = ActiveAttempt(before);
  point.question = active == nullptr ? "How do you begin?" : "Go on, or change?";
  if (active != nullptr) point.choices.push_back("go on: " + StrategyName(active->strategy));
  for (const Strategy strategy : {Strategy::kAntegradeWiring, Strategy::kAntegradeDissection, Strategy::kRetrogradeWiring, Strategy::kRetrogradeDissection})
    if (active == nullptr || active->strategy != strategy) point.choices.push_back(StrategyName(strategy));
  point.choices.emplace_back("prepare, stop, and come back another day");
  point.choices.emplace_back("stop");
  const auto chosen = StrategyOf(WordOf(event, RunField::kStrategy));
  const std::string_view decision = WordOf(event, RunField::kDecision);
  std::string done = chosen ? StrategyName(*chosen) : event.verb == Verb::kStopped || decision == "stop" ? "stop" : decision == "prepare" ? "prepare, stop, and come back another day" : "";
  if (active != nullptr && (decision == "go-on" || (chosen && *chosen == active->strategy))) done = point.choices.front();
  const auto place = std::ranges::find(point.choices, done);
  point.done = place == point.choices.end() ? -1 : static_cast<int>(place - point.choices.begin());
  const std::string_view reason = WordOf(event, RunField::kReason);
  point.what_was_done = (done.empty() ? "not said" : done) + (reason.empty() ? "" : "; because: " + ReasonText(reason));
}

void AskTrouble(LessonPoint& point, const State& state, const Decision& decision) {
  const RunState after = RunOf(state, decision.entry->at);
  const Trouble* trouble = nullptr;
  for (const Trouble& each : after.troubles)
    if (each.entry == decision.entry->id) trouble = &each;
  const std::string kind = trouble == nullptr || trouble->kind.empty() ? "trouble" : trouble->kind;
  point.question = "A complication: " + kind + (trouble != nullptr && !trouble->grade.empty() ? " " + trouble->grade : "") + (trouble != nullptr && !trouble->site.empty() ? ", " + trouble->site : "") + ". What first?";
  if (const Drill* drill = trouble == nullptr ? nullptr : DrillOf(trouble->kind, trouble->site))
    for (const DrillStep& step : drill->steps) point.choices.emplace_back(step.says);
  std::vector<std::string> done;
  for (const EntryIndex index : state.run) {
    const Entry& entry = state.entries[index];
    if (entry.at < decision.entry->at || entry.id == decision.entry->id || (entry.at - decision.entry->at).minutes() > 15.0) continue;
    Entry bare = entry;
    if (auto* event = std::get_if<RunEvent>(&bare.data)) event->remark.clear();
    done.push_back(Minutes(decision.entry->at, entry.at) + " min: " + EntryText(bare));
  }
  for (const std::string& line : done) point.what_was_done += (point.what_was_done.empty() ? "" : "; ") + line;
  if (point.what_was_done.empty()) point.what_was_done = "nothing in the log within 15 minutes";
}

LessonPoint PointOf(const State& state, const Decision& decision, Instant zero) {
  const State known = KnownAt(state, decision.entry->at, decision.entry->id);
  const RunState before = RunOf(known, decision.entry->at);
  LessonPoint point;
  point.at = decision.entry->at;
  const double minutes = (decision.entry->at - zero).minutes();
  point.when = fmt::format("{:.0f} min {} the first puncture", std::abs(std::round(minutes)), minutes < 0.0 ? "before" : "after");
  point.facts = FactsOf(known);
  point.situation = SituationOf(before, decision.entry->at);
  const Verb verb = decision.event->verb;
  if (verb == Verb::kStart || verb == Verb::kSwitch || verb == Verb::kStopped || verb == Verb::kDecide) AskStrategy(point, *decision.event, before);
  else AskTrouble(point, state, decision);
  point.screens = ScreensAfter(state, decision.index);
  return point;
}

// "lesson: words" without its head; nothing for other notes.
std::optional<std::string> After(std::string_view note, std::string_view head) {
  if (!note.starts_with(head)) return std::nullopt;
  note.remove_prefix(head.size());
  while (!note.empty() && (note.front() == ' ' || note.front() == '\n')) note.remove_prefix(1);
  return std::string(note);
}

void AddClips(Lesson& lesson, const std::vector<LessonClip>& clips) {
  for (const LessonClip& clip : clips) {
    const std::size_t place = PlaceInLesson(lesson, clip.at);
    if (place < lesson.points.size()) (clip.joined <= lesson.points[place].at ? lesson.points[place].clips : lesson.points[place].clips_then).push_back(clip);
    else (lesson.points.empty() || clip.joined <= lesson.points.front().at ? lesson.clips : lesson.clips_end).push_back(clip);
  }
}

void AddWords(Lesson& lesson, const State& state) {
  for (const EntryIndex index : state.notes) {
    const Entry& entry = state.entries[index];
    const auto* note = std::get_if<NoteWritten>(&entry.data);
    if (note == nullptr) continue;
    const auto words = After(note->text, "lesson:"), spoken = After(note->text, "speaker:");
    if (!words && !spoken) continue;
    const std::size_t place = PlaceInLesson(lesson, entry.at);
    const bool whole = place == lesson.points.size();
    auto& list = words ? (whole ? lesson.lessons : lesson.points[place].lessons) : (whole ? lesson.speaker : lesson.points[place].speaker);
    list.push_back(words ? *words : *spoken);
  }
}

std::string TitleOf(const State& state) {
  const Facts facts = WithDerived(StandingFacts(state));
  std::string title = "A chronic total occlusion";
  if (const auto* vessel = std::get_if<GradeOdds>(&BeliefOf(facts, {"occluded_vessel", ""})); vessel != nullptr && vessel->odds.size() == 1) title += " of the " + vessel->odds.front().first;
  return title;
}

std::vector<LessonLine> OutcomeOf(const RunState& run) {
  std::vector<LessonLine> lines;
  for (const RunAttempt& attempt : run.attempts)
    lines.push_back({StrategyName(attempt.strategy), attempt.end ? Minutes(attempt.start, *attempt.end) + " min, " + (attempt.ended == AttemptEnd::kCrossed ? "crossed" : "left" + (attempt.reason.empty() ? "" : ": " + ReasonText(attempt.reason))) : "not ended in the log"});
  lines.push_back({"Result", run.result ? std::string(WordOf(run.result->value, RunField::kOutcome)) : "not recorded"});
  lines.push_back({"Residual stenosis", run.residual ? fmt::format("{:g} %", run.residual->value) : "not recorded"});
  const auto flow = run.flows.find("");
  lines.push_back({"Flow", flow == run.flows.end() ? "not recorded" : fmt::format("TIMI {:g}", flow->second.value)});
  for (const Trouble& trouble : run.troubles) lines.push_back({"Complication", trouble.kind + (trouble.grade.empty() ? "" : " " + trouble.grade) + (trouble.over ? ", over" : "")});
  if (!run.contrast.empty()) lines.push_back({"Contrast", fmt::format("{:g} mL", run.contrast.back().value)});
  if (!run.air_kerma.sums.empty()) lines.push_back({"Air kerma", fmt::format("{:g} Gy", run.air_kerma.sums.back().value)});
  return lines;
}

using Act = std::function<void(std::string&)>;

// Every text of the page that people wrote freely, once each; `act` may change it.
void ForEachFreeText(Lesson& lesson, const Act& act) {
  const auto texts = [&act](std::vector<std::string>& all) {
    for (std::string& text : all) act(text);
  };
  const auto clips = [&act](std::vector<LessonClip>& all) {
    for (LessonClip& clip : all) act(clip.caption);
  };
  for (LessonPoint& point : lesson.points) texts(point.lessons), texts(point.speaker), clips(point.clips), clips(point.clips_then);
  texts(lesson.lessons), texts(lesson.speaker), clips(lesson.clips), clips(lesson.clips_end);
}

// Every text of the page.
void ForEachText(Lesson& lesson, const Act& act) {
  const auto lines = [&act](std::vector<LessonLine>& all) {
    for (LessonLine& line : all) act(line.label), act(line.value);
  };
  act(lesson.title);
  for (LessonPoint& point : lesson.points) {
    for (std::string* text : {&point.question, &point.what_was_done, &point.screens}) act(*text);
    for (std::string& choice : point.choices) act(choice);
    lines(point.facts), lines(point.situation);
  }
  lines(lesson.outcome);
  ForEachFreeText(lesson, act);
}

}  // namespace

std::size_t PlaceInLesson(const Lesson& lesson, Instant at) {
  std::size_t place = lesson.points.size();
  for (std::size_t i = 0; i < lesson.points.size(); ++i)
    if (lesson.points[i].at <= at && (at - lesson.points[i].at).minutes() <= 30.0) place = i;
  return place;
}

Lesson MakeLesson(const State& state, const LessonSettings& settings) {
  Lesson lesson;
  lesson.title = TitleOf(state);
  if (const CaseOpened* opened = CaseInfo(state); opened != nullptr) lesson.invented = opened->invented;
  const RunState run = RunOf(state);
  const RunSession* session = PresentSession(run);
  const Instant zero = session == nullptr ? Instant{} : session->access.value_or(session->start);
  const std::vector<Decision> decisions = DecisionsOf(state);
  for (const Decision& decision : decisions) lesson.points.push_back(PointOf(state, decision, zero));
  AddWords(lesson, state);
  AddClips(lesson, settings.clips);
  lesson.outcome = OutcomeOf(run);
  LessonSettings all{settings.mask, settings.tag, {}, settings.keep};
  for (std::string& name : NamesIn(state)) all.mask.push_back(std::move(name));
  std::string words;
  const auto gather = [&words](std::string& text) { words += text + "\n"; };
  ForEachFreeText(lesson, gather);
  for (std::string& name : TitledNames(words)) all.mask.push_back(std::move(name));
  lesson.stayed = NamesThatMayStay(words, all);
  words.clear();
  ForEachText(lesson, gather);
  lesson.taken_out = NamesTakenOut(words, all);
  ForEachText(lesson, [&all](std::string& text) { text = Unrecognised(text, all); });
  return lesson;
}

}  // namespace fairlead
