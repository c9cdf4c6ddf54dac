// SPDX-License-Identifier: Apache-2.0
// The planning problem of one case: its facts and the priors make the strategies, its limits the budgets, and what the
// run has seen so far conditions all of it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casebook/fact.h"
#include "reasoning/strategy/algorithm.h"
#include "reasoning/strategy/model.h"
#include "reasoning/strategy/priors.h"

namespace fairlead {

// Limits of the session; what is absent comes from the priors and the facts. All members in minutes, mL, mGy.
struct SessionLimits {
  std::array<std::optional<double>, 3> limit{};
  std::array<std::optional<double>, 3> reserve{};  // what finishing costs once the wire is across
  Spending used{};
};
struct Tried {
  std::string strategy;   // "AW", "ADR", "RW/RDR" or "RW/RDR c1"
  double minutes = 0.0;
  bool closed = false;    // will not be taken up again; false: it may be
  std::string phase{};    // it was left in; empty: not logged
  double phase_min = 0.0; // minutes in that phase
};
struct Attempt {
  std::string strategy;
  std::string phase;         // empty: not logged
  double phase_min = 0.0;    // minutes in that phase
  double attempt_min = 0.0;  // minutes in all
};
// What the run has seen, as its entries tell it.
struct RunSoFar {
  std::vector<Tried> tried;  // in order; not the attempt under way
  std::optional<Attempt> attempt;
  std::vector<std::string> closed;  // rated as closed without an attempt
};

struct Session {
  SessionLimits limits;
  Skills skills;
  RunSoFar run;
};
// {"minutes", "contrast_ml", "kerma_mgy", "reserve": {...}, "used": {...}, "skills": {...}, "tried": [...],
// "attempt": {...}, "closed": [...]}, all optional: docs/wire.md.
Result<Session> ParseSession(std::string_view text);

struct LadderInput {
  Facts facts;  // with derived ones
  Priors priors = PublishedPriors();
  Session session;
};

struct LadderStrategy {
  std::string id{}, words{};
  const char* tells = "";           // "antegrade" or "retrograde": which side works
  std::size_t prior = 0;            // index into Priors::strategies
  double can = 0.0;                 // mean over the classes, before the run
  double median_min = 0.0;
  PriorFigure can_from{}, median_from{};  // where the figures come from
  double can_spread = 0.0;          // worth that many attempts
};

// One thing that the run has shown of a strategy: not across after so many minutes, in that phase if it was logged.
struct SeenSoFar {
  std::size_t strategy = 0;           // index into Ladder::all
  std::optional<std::size_t> phase{};
  double minutes = 0.0;               // in the phase, or of the attempt
};

struct Ladder {
  LadderModel model;                     // conditioned on the run, budgets as they are left for crossing
  std::vector<LadderStrategy> strategies;  // as in model.strategies
  // What `model` was made of, so that a draw from the priors can be conditioned on the run anew.
  LadderModel before;                      // all strategies, nothing seen yet
  std::vector<LadderStrategy> all;         // as in before.strategies
  std::vector<SeenSoFar> seen;             // in order
  std::optional<std::size_t> current;    // the attempt under way
  std::array<std::optional<double>, 3> whole{};  // limits of the session
  Spending reserve{}, used{};
  std::vector<std::string> assumptions;  // sentences
  std::vector<std::string> left_out;     // strategies that are not in the model, and why
  std::array<double, kDifficulties> difficulty{};  // odds over J-CTO 0, 1, 2, 3 or more
};

// Errors: the run names a strategy or a phase that the priors do not have.
Result<Ladder> BuildLadder(const LadderInput& input);

// Two classes of difficulty around the mean: a lesion that resists one way resists the others.
std::vector<double> ChancesByClass(double can, const Priors& priors);

// The clock of a strategy whose phases' times, one after another, have this median and spread.
struct PhasedLaw {
  ClockLaw whole;               // median 1 minute; multiply scale_min
  double phase_log_sd = 0.0;
  double unit_min = 1.0;        // a phase's median = its time share times this, where the whole has median 1
  std::vector<ClockLaw> phases{};  // of each, where the whole has median 1; no table: it takes no time
};
PhasedLaw LawOfPhases(const std::vector<PriorPhase>& phases, double log_sd);

// What is left of an attempt that is `phase_min` minutes into phase `phase`, and how likely each class made it to come so
// far. The grid of the times: fine for an answer, coarse for one of many draws.
enum class PhaseGrid { kFine, kCoarse };
struct ReachedPhase {
  StrategyModel strategy;
  std::vector<double> likelihood;  // by class
};
ReachedPhase Reached(StrategyModel strategy, const PriorStrategy& prior, double median_min, std::size_t phase, double phase_min,
                     PhaseGrid grid = PhaseGrid::kFine);

// What is left of an attempt that is `phase_min` minutes into phase `phase`: the chances by class and the clock of the
// rest. The likelihoods of having come so far, by class, are multiplied into `weights`.
StrategyModel InPhase(StrategyModel strategy, const PriorStrategy& prior, double median_min, std::size_t phase, double phase_min,
                      std::vector<double>& weights);

}  // namespace fairlead
