// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_apply.h"

#include <algorithm>

namespace fairlead {
namespace {

void Access(RunState& run, const Told& told) {
  RunSession& session = run.sessions.back();
  if (!session.access) session.access = told.at;
  RunDevice sheath;
  sheath.kind = DeviceKind::kSheath;
  sheath.side = told.event.side;
  sheath.site = WordOf(told.event, RunField::kSite);
  sheath.body_side = WordOf(told.event, RunField::kBodySide);
  sheath.size_f = NumberOf(told.event, RunField::kFrench);
  sheath.length_cm = NumberOf(told.event, RunField::kWireLength);
  sheath.since = told.at;
  sheath.entry = told.entry;
  run.devices.push_back(std::move(sheath));
}

void End(RunState& run, const Told& told) {
  CloseAttempt(run, told, AttemptEnd::kStopped);
  if (!run.sessions.back().end) run.sessions.back().end = told.at;
  for (RunDevice& device : run.devices)
    if (!device.out && device.kind != DeviceKind::kSheath) device.out = told.at;
  run.pause.reset();
}

void Prior(RunState& run, const Told& told) {
  const Instant at = told.at + Duration::Minutes(-NumberOf(told.event, RunField::kDays).value_or(0.0) * 24.0 * 60.0);
  run.earlier.push_back({at, NumberOf(told.event, RunField::kVolume).value_or(0.0), NumberOf(told.event, RunField::kKerma).value_or(0.0), told.entry});
}

void Ticked(RunState& run, const Told& told) {
  const std::string_view state = WordOf(told.event, RunField::kState);
  const auto key = std::pair(std::string(WordOf(told.event, RunField::kGate)), std::string(WordOf(told.event, RunField::kItem)));
  run.ticks[key] = told.As(Tick{state.empty() ? "done" : std::string(state), told.event.remark});
}

}  // namespace

void ApplySession(RunState& run, const Told& told) {
  const RunEvent& event = told.event;
  if (event.verb == Verb::kTimeout) {
    double last = 0.0;
    for (const RunSession& session : run.sessions) last = std::max(last, session.plan.value_or(0.0));
    run.sessions.back().timeout = told.at;
    run.sessions.back().plan = NumberOf(event, RunField::kPlan).value_or(last + 1.0);  // each time-out freezes the plan as it stands: the next version
    return;
  }
  if (event.verb == Verb::kAccess) return Access(run, told);
  if (event.verb == Verb::kClosure) {
    run.closures.push_back(told.As(std::string(WordOf(event, RunField::kKind))));
    return;
  }
  if (event.verb == Verb::kEnd) return End(run, told);
  if (event.verb == Verb::kResult) {
    run.result = told.As(event);
    return;
  }
  if (event.verb == Verb::kBreak) {
    if (WordOf(event, RunField::kState) != "over") run.pause = run.pause.value_or(told.at);
    else if (run.pause) run.breaks.emplace_back(*run.pause, told.at), run.pause.reset();
    return;
  }
  if (event.verb == Verb::kPrior) return Prior(run, told);
  if (event.verb == Verb::kDecide) {
    if (RatesAWay(event)) return run.rated_ways.push_back(told.As(event));
    if (WordOf(event, RunField::kDecision) == "try") return;  // no stop-or-go decision: what is tried is learnt from the journal
    run.decisions.push_back(told.As(std::string(WordOf(event, RunField::kDecision))));
    return;
  }
  if (event.verb == Verb::kTick) return Ticked(run, told);
  if (event.verb == Verb::kAccept) {
    run.accepted[std::string(WordOf(event, RunField::kRule))] = told.As(event.remark);
    return;
  }
  if (event.verb == Verb::kFollowUp) {
    run.follow_ups.push_back(told.As(event));
    return;
  }
}

}  // namespace fairlead
