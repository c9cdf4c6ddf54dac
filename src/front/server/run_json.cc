// SPDX-License-Identifier: Apache-2.0
#include "front/server/run_json.h"

#include <algorithm>

#include "casebook/derive.h"
#include "casebook/run/run_state.h"
#include "front/server/json_text.h"
#include "front/server/run_parts.h"
#include "reasoning/budget/anticoagulation.h"
#include "reasoning/budget/budget.h"
#include "reasoning/caution/caution.h"

namespace fairlead {
namespace {

void WriteSession(JsonText& json, const RunState& run, Instant now) {
  const RunSession* session = PresentSession(run);
  json.Key("session");
  if (session == nullptr) {
    json.Null();
    return;
  }
  json.Open('{').Member("number", run.sessions.size()).Member("start", ToIso(session->start));
  WriteTime(json, "access", session->access);
  WriteTime(json, "timeout", session->timeout);
  WriteNumber(json, "plan", session->plan);
  WriteTime(json, "end", session->end);
  WriteNumber(json, "minutes", ProcedureMinutes(run, now));
  WriteTime(json, "pause", run.pause);
  json.Close('}');
}

void WriteAttempt(JsonText& json, const RunAttempt& attempt, Instant now) {
  json.Open('{').Member("strategy", StrategyWord(attempt.strategy)).Member("channel", attempt.channel).Member("channel_kind", attempt.channel_kind);
  json.Member("start", ToIso(attempt.start));
  WriteTime(json, "end", attempt.end);
  json.Member("minutes", (attempt.end.value_or(now) - attempt.start).minutes());
  static constexpr std::string_view kEnds[] = {"open", "crossed", "switched", "stopped"};
  json.Member("ended", kEnds[static_cast<std::size_t>(attempt.ended)]).Member("reason", attempt.reason);
  json.Member("last_progress", ToIso(attempt.last_progress)).Key("phases").Open('[');
  for (const PhaseSpan& phase : attempt.phases) {
    json.Open('{').Member("phase", phase.phase).Member("start", ToIso(phase.start));
    WriteTime(json, "end", phase.end);
    json.Member("minutes", (phase.end.value_or(now) - phase.start).minutes()).Close('}');
  }
  json.Close(']').Member("entry", attempt.entry).Close('}');
}

void WriteAttempts(JsonText& json, const RunState& run, Instant now) {
  json.Key("active");
  if (const RunAttempt* active = ActiveAttempt(run)) WriteAttempt(json, *active, now);
  else json.Null();
  json.Key("attempts").Open('[');
  for (const RunAttempt& attempt : run.attempts) WriteAttempt(json, attempt, now);
  json.Close(']').Member("retrograde_active", RetrogradeActive(run)).Key("milestones").Open('{');
  WriteTime(json, "crossed_lesion", run.crossed_lesion ? std::optional(run.crossed_lesion->at) : std::nullopt);
  WriteTime(json, "distal_proven", run.distal_proven ? std::optional(run.distal_proven->at) : std::nullopt);
  json.Member("distal_proven_by", run.distal_proven ? run.distal_proven->value : std::string()).Close('}');
}

}  // namespace

Result<RunPanel> RunPanelOf(const State& state, const Knowledge& lab, Instant now) {
  auto limits = LimitsOf(lab);
  if (!limits.ok()) return limits.error();
  auto changes = ChangesOf(lab);
  if (!changes.ok()) return changes.error();
  const RunState run = RunOf(state, now);
  const RunPatient patient = PatientOf(state, WithDerived(StandingFacts(state)), run);
  const Cautions cautions = CautionsOf(state, *limits, *changes, now);
  JsonText json;
  json.Open('{').Member("seq", state.seq).Member("now", ToIso(now));
  // Figures that count minutes are made anew each minute while a session runs.
  std::optional<Instant> holds_until = cautions.holds_until;
  if (!run.sessions.empty() && !Over(run)) {
    const Instant minute = now + Duration::Minutes(1);
    holds_until = holds_until ? std::min(*holds_until, minute) : minute;
  }
  WriteTime(json, "holds_until", holds_until);
  WriteSession(json, run, now);
  WriteAttempts(json, run, now);
  WriteInBody(json, run);
  WriteTotals(json, run);
  WriteBudgets(json, BudgetsOf(run, patient, *limits, now), patient);
  WriteAnticoagulation(json, AnticoagulationOf(run, patient, *limits, now), run);
  WriteLooks(json, run);
  WriteTroubles(json, run);
  WriteCautions(json, cautions);
  WriteChanges(json, *changes, lab);
  WriteGates(json, run, patient, now);
  json.Member("says", "Decision support for trained operators. Not a medical device. Local protocol and the responsible physician decide.");
  return RunPanel{json.Close('}').Take(), holds_until};
}

}  // namespace fairlead
