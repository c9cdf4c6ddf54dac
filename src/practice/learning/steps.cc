// SPDX-License-Identifier: Apache-2.0
// What was tried when a way would not go, and whether it went on from there.
#include <optional>
#include <utility>

#include "casebook/run/run_state.h"
#include "practice/learning/observed.h"

namespace fairlead {
namespace {

bool Milestone(Verb verb) { return verb == Verb::kPhase || verb == Verb::kCrossed || verb == Verb::kDistal || verb == Verb::kReenter || verb == Verb::kJoin; }
bool Leaves(Verb verb) { return verb == Verb::kSwitch || verb == Verb::kStopped || verb == Verb::kEnd; }
bool Tries(const RunEvent& event) { return event.verb == Verb::kDecide && WordOf(event, RunField::kDecision) == "try"; }

}  // namespace

Observed StepsOf(const State& state, bool invented) {
  Observed all;
  std::string strategy;             // of the attempt at work; empty: none
  std::optional<TriedStep> waiting;  // the last step, while nobody knows yet what came of it
  const auto settle = [&](bool worked) {
    if (!waiting) return;
    waiting->worked = worked;
    all.steps.push_back(std::move(*waiting));
    waiting.reset();
  };
  for (const EntryIndex index : state.run) {
    const auto* event = std::get_if<RunEvent>(&state.entries[index].data);
    if (event == nullptr) continue;
    if (Tries(*event)) {
      settle(false);
      if (strategy.empty()) ++all.steps_open;
      else waiting = TriedStep{strategy, std::string(WordOf(*event, RunField::kReason)), std::string(WordOf(*event, RunField::kKind)), false, invented};
    } else if (Milestone(event->verb)) {
      settle(true);
    } else if (Leaves(event->verb) || event->verb == Verb::kStart) {
      settle(false);
    }
    if (event->verb == Verb::kStart || event->verb == Verb::kSwitch) strategy = WordOf(*event, RunField::kStrategy);
    if (event->verb == Verb::kStopped || event->verb == Verb::kEnd || event->verb == Verb::kDistal) strategy.clear();
  }
  all.steps_open += waiting ? 1 : 0;
  return all;
}

}  // namespace fairlead
