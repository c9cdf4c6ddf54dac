// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/run_session.h"

#include <algorithm>
#include <array>
#include <utility>

namespace fairlead {
namespace {

// The log bar's words for phases, and the priors'.
constexpr std::array<std::pair<std::string_view, std::string_view>, 4> kPhaseWords = {
    {{"reentry", "re-entry"}, {"catheter", "microcatheter"}, {"farcap", "far-cap"}, {"joining", "joined"}}};

std::string_view PriorWord(std::string_view phase) {
  for (const auto& [log, prior] : kPhaseWords)
    if (log == phase) return prior;
  return phase;
}

const PriorStrategy* PriorOf(const Priors& priors, const RunAttempt& attempt) {
  const std::string_view id = IsRetrograde(attempt.strategy) ? "RW/RDR" : StrategyWord(attempt.strategy);
  const auto found = std::ranges::find_if(priors.strategies, [&](const PriorStrategy& s) { return s.id == id; });
  return found == priors.strategies.end() ? nullptr : &*found;
}

struct InPriors {
  std::string phase;        // as the priors call it; empty: not known there
  std::size_t place = 0;
  double minutes = 0.0;     // in it
};

InPriors PhaseAt(const RunState& run, const RunAttempt& attempt, const PriorStrategy& prior, Instant end) {
  const PhaseSpan& last = attempt.phases.back();
  const auto found = std::ranges::find_if(prior.phases, [&](const PriorPhase& p) { return p.id == PriorWord(last.phase); });
  if (found == prior.phases.end()) return {};
  return {found->id, static_cast<std::size_t>(found - prior.phases.begin()), WorkedMinutes(run, last.start, end)};
}

// Retrograde wiring that turns into dissection over the same channel keeps the milestones that it had reached.
bool GoesOn(const RunAttempt& before, const RunAttempt& next) {
  return IsRetrograde(before.strategy) && IsRetrograde(next.strategy) && before.channel == next.channel;
}

}  // namespace

std::string LadderId(const RunAttempt& attempt) {
  if (!IsRetrograde(attempt.strategy)) return std::string(StrategyWord(attempt.strategy));
  return attempt.channel.empty() ? "RW/RDR" : "RW/RDR " + attempt.channel;
}

RunSoFar SoFarOf(const RunState& run, const Priors& priors, Instant now) {
  RunSoFar so_far;
  const RunAttempt* before = nullptr;
  InPriors reached;
  for (const RunAttempt& attempt : run.attempts) {
    const PriorStrategy* prior = PriorOf(priors, attempt);
    if (prior == nullptr) continue;
    const Instant end = std::max(attempt.start, attempt.end.value_or(now));
    InPriors phase = PhaseAt(run, attempt, *prior, end);
    if (before != nullptr && GoesOn(*before, attempt) && phase.place < reached.place && !phase.phase.empty()) phase = {reached.phase, reached.place, phase.minutes};
    const double minutes = WorkedMinutes(run, attempt.start, end);
    if (!attempt.end) {
      so_far.attempt = Attempt{LadderId(attempt), phase.phase, phase.minutes, minutes};
      break;
    }
    if (attempt.ended != AttemptEnd::kCrossed) so_far.tried.push_back({LadderId(attempt), minutes, attempt.reason == "kit-or-skill", phase.phase, phase.minutes});
    before = &attempt;
    reached = phase;
  }
  return so_far;
}

}  // namespace fairlead
