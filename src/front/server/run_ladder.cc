// SPDX-License-Identifier: Apache-2.0
#include "front/server/run_ladder.h"

#include <utility>

#include "casebook/derive.h"
#include "reasoning/budget/budget.h"
#include "reasoning/strategy/outlook_text.h"

namespace fairlead {
namespace {

constexpr double kMgyPerGy = 1000.0;

void Hold(SessionLimits& limits, Spent what, const Budget& budget, double unit) {
  if (budget.limit) limits.limit[what] = *budget.limit * unit;
  limits.reserve[what] = budget.reserve * unit;
  limits.used[what] = budget.used.value_or(0.0) * unit;
}

}  // namespace

Result<Priors> PriorsOf(const Knowledge& lab) {
  const KnowledgeText* own = FindKnowledge(lab, "priors");
  if (own == nullptr) return PublishedPriors();
  auto priors = ParsePriors(own->text);
  if (!priors.ok()) return Within("the lab's priors", priors.error());
  return priors;
}

Session LadderSessionOf(const RunState& run, const RunPatient& patient, const RunLimits& limits, const Priors& priors, Instant now) {
  Session session;
  // Before a session, and after the last one, the same limits hold of the one to come: nothing of it is used yet.
  const bool runs = PresentSession(run) != nullptr && !Over(run);
  const RunBudgets budgets = BudgetsOf(runs ? run : RunState{}, patient, limits, now);
  Hold(session.limits, kMinutes, budgets.time, 1.0);
  Hold(session.limits, kContrastMl, budgets.contrast, 1.0);
  Hold(session.limits, kKermaMgy, budgets.air_kerma, kMgyPerGy);
  if (runs) session.run = SoFarOf(run, priors, now);
  return session;
}

Session Supposed(Session run, const Session& asked) {
  for (std::size_t r = 0; r < asked.limits.limit.size(); ++r) {
    if (asked.limits.limit[r]) run.limits.limit[r] = asked.limits.limit[r];
    if (asked.limits.reserve[r]) run.limits.reserve[r] = asked.limits.reserve[r];
    if (asked.limits.used[r] > 0.0) run.limits.used[r] = asked.limits.used[r];
  }
  run.skills = asked.skills;
  run.run.closed.insert(run.run.closed.end(), asked.run.closed.begin(), asked.run.closed.end());
  if (!asked.run.tried.empty()) run.run.tried = asked.run.tried;
  if (asked.run.attempt) run.run.attempt = asked.run.attempt;
  if (run.run.attempt) {  // what is supposed closed does not go on
    for (const std::string& id : asked.run.closed)
      if (run.run.attempt->strategy == id) return run.run.attempt.reset(), run;
  }
  return run;
}

std::vector<std::string> LadderLines(const State& state, const RunState& run, const RunPatient& patient, const RunLimits& limits, const Knowledge& lab, Instant at, int draws) {
  const auto priors = PriorsOf(lab);
  if (!priors.ok()) return {"which way: the lab's priors could not be read"};
  LadderInput input{WithDerived(StandingFacts(state)), *priors, LadderSessionOf(run, patient, limits, *priors, at)};
  const auto answer = AnswerLadder(std::move(input), {.draws = draws, .algorithms = false});
  if (!answer.ok()) return {"which way: no answer, " + answer.error().what};
  return SaidLines(*answer);
}

}  // namespace fairlead
