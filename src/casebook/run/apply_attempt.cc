// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_apply.h"

namespace fairlead {
namespace {

RunAttempt* Active(RunState& run) { return run.attempts.empty() || run.attempts.back().end ? nullptr : &run.attempts.back(); }

void OpenAttempt(RunState& run, const Told& told) {
  const auto strategy = StrategyOf(WordOf(told.event, RunField::kStrategy));
  if (!strategy) return;
  RunAttempt attempt;
  attempt.strategy = *strategy;
  attempt.channel = WordOf(told.event, RunField::kChannel);
  attempt.channel_kind = WordOf(told.event, RunField::kKind);
  if (attempt.channel_kind.empty() && run.channels.contains(attempt.channel)) attempt.channel_kind = run.channels[attempt.channel];
  if (!attempt.channel.empty() && !attempt.channel_kind.empty()) run.channels[attempt.channel] = attempt.channel_kind;
  attempt.start = attempt.last_progress = told.at;
  attempt.entry = told.entry;
  attempt.phases.push_back({std::string(FirstPhase(*strategy)), told.at, std::nullopt});
  run.attempts.push_back(std::move(attempt));
}

// What is next once a wire or catheter has passed a channel.
std::string_view AfterChannel(bool catheter) { return catheter ? "farcap" : "catheter"; }

std::string_view AfterCap(Strategy strategy) {
  switch (strategy) {
    case Strategy::kAntegradeWiring: return "body";
    case Strategy::kAntegradeDissection: return "tracking";
    case Strategy::kRetrogradeWiring:
    case Strategy::kRetrogradeDissection: return "joining";
  }
  return "";
}
std::string_view AfterLesion(Strategy strategy) {
  switch (strategy) {
    case Strategy::kAntegradeWiring: return "lumen";
    case Strategy::kAntegradeDissection: return "reentry";
    case Strategy::kRetrogradeWiring:
    case Strategy::kRetrogradeDissection: return "home";
  }
  return "";
}

void ChannelPassed(RunState& run, const Told& told, bool catheter) {
  const RunAttempt* active = Active(run);
  if (active != nullptr && IsRetrograde(active->strategy)) Progress(run, told, AfterChannel(catheter));
}

void Crossed(RunState& run, const Told& told) {
  const std::string_view object = WordOf(told.event, RunField::kObject);
  const RunAttempt* active = Active(run);
  if (object == "collateral") {
    run.channel_events.push_back(told.As(told.event));
    return ChannelPassed(run, told, WordOf(told.event, RunField::kBy) == "catheter");
  }
  if (object == "lesion") run.crossed_lesion = told.As(std::string(WordOf(told.event, RunField::kTag)));
  if (active == nullptr) return;
  Progress(run, told, object == "cap" ? AfterCap(active->strategy) : AfterLesion(active->strategy));
}

void Collateral(RunState& run, const Told& told) {
  const std::string channel(WordOf(told.event, RunField::kChannel)), kind(WordOf(told.event, RunField::kKind));
  if (!kind.empty()) run.channels[channel] = kind;
  run.channel_events.push_back(told.As(told.event));
  const std::string_view state = WordOf(told.event, RunField::kState);
  if (state == "wired" || state == "catheter") ChannelPassed(run, told, state == "catheter");
}

}  // namespace

void CloseAttempt(RunState& run, const Told& told, AttemptEnd ended) {
  RunAttempt* active = Active(run);
  if (active == nullptr) return;
  active->end = active->phases.back().end = told.at;
  active->ended = ended;
  active->reason = WordOf(told.event, RunField::kReason);
  active->end_entry = told.entry;
}

void Progress(RunState& run, const Told& told, std::string_view next_phase) {
  RunAttempt* active = Active(run);
  if (active == nullptr) return;
  active->last_progress = told.at;
  if (next_phase.empty()) return;
  active->phases.back().end = told.at;
  active->phases.push_back({std::string(next_phase), told.at, std::nullopt});
}

void ApplyAttempt(RunState& run, const Told& told) {
  // Two at once: the first ends where the second begins.
  if (told.event.verb == Verb::kStart || told.event.verb == Verb::kSwitch) {
    CloseAttempt(run, told, AttemptEnd::kSwitched);
    return OpenAttempt(run, told);
  }
  if (told.event.verb == Verb::kStopped) return CloseAttempt(run, told, AttemptEnd::kStopped);
  if (told.event.verb == Verb::kPhase) return Progress(run, told, WordOf(told.event, RunField::kPhase));
  if (told.event.verb == Verb::kCrossed) return Crossed(run, told);
  if (told.event.verb == Verb::kCollateral) return Collateral(run, told);
  if (told.event.verb == Verb::kDistal) {
    run.distal_proven = told.As(std::string(WordOf(told.event, RunField::kBy)));
    if (!run.crossed_lesion) run.crossed_lesion = told.As(std::string(WordOf(told.event, RunField::kTag)));
    return CloseAttempt(run, told, AttemptEnd::kCrossed);
  }
}

}  // namespace fairlead
