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

std::string RatedId(const RunEvent& rated) {
  const auto strategy = StrategyOf(WordOf(rated, RunField::kStrategy));
  if (!strategy || !IsRetrograde(*strategy)) return std::string(WordOf(rated, RunField::kStrategy));
  const std::string_view channel = WordOf(rated, RunField::kChannel);
  return channel.empty() ? "RW/RDR" : "RW/RDR " + std::string(channel);
}

// "RW/RDR" names every channel.
bool Names(const std::string& id, const std::string& other) { return id == other || other.starts_with(id + " "); }

struct RatedWay {
  std::string id;
  Instant at;
};
// Of each way the last word said of it: `open` takes a rating back, and so does an attempt that begins after it.
std::vector<RatedWay> ClosedWays(const RunState& run) {
  std::vector<RatedWay> closed;
  for (const At<RunEvent>& rated : run.rated_ways) {
    const std::string id = RatedId(rated.value);
    std::erase_if(closed, [&](const RatedWay& way) { return Names(id, way.id) || Names(way.id, id); });
    if (WordOf(rated.value, RunField::kDecision) == "closed") closed.push_back({id, rated.at});
  }
  std::erase_if(closed, [&](const RatedWay& way) {
    return std::ranges::any_of(run.attempts, [&](const RunAttempt& attempt) { return attempt.start > way.at && Names(way.id, LadderId(attempt)); });
  });
  return closed;
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
  for (const RatedWay& way : ClosedWays(run)) {
    so_far.closed.push_back(way.id);
    if (!so_far.attempt || !Names(way.id, so_far.attempt->strategy)) continue;
    // The way that is worked on was rated as closed: what it has shown counts, and it is not planned for.
    so_far.tried.push_back({so_far.attempt->strategy, so_far.attempt->attempt_min, true, so_far.attempt->phase, so_far.attempt->phase_min});
    so_far.attempt.reset();
  }
  return so_far;
}

}  // namespace fairlead
