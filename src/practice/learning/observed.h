// SPDX-License-Identifier: Apache-2.0
// One's own attempts as observations of the clock: minutes of work, and how they ended. An attempt that was stopped says
// that it had not crossed by then, and no more: it is censored. Crossing and complication compete.
#pragma once

#include <string>
#include <vector>

#include "casebook/fold.h"
#include "measure/instant.h"
#include "practice/audit/row.h"
#include "reasoning/strategy/priors.h"

namespace fairlead {

enum class Ending { kCrossed, kComplication, kStopped };

// Where the stop lay to the minutes that the screen had called flat.
enum class ShownThen { kNothing, kBefore, kWithin, kAfter };

struct ObservedAttempt {
  std::string case_id;
  std::string strategy;          // as the priors call it: "AW", "ADR", "RW/RDR"
  std::size_t difficulty = 0;    // J-CTO 0, 1, 2, 3 or more: the likeliest
  int position = 1;              // 1: the first of its case
  double minutes = 0.0;          // of work, breaks left out; at least kLeastMinutes
  Ending ending = Ending::kStopped;
  bool planned = false;          // the end was fixed beforehand, or by a limit from outside
  ShownThen shown = ShownThen::kNothing;
  bool harm_told = true;         // whether a complication of this attempt would have been seen; past cases do not say
  bool invented = false;
};

inline constexpr double kLeastMinutes = 0.25;  // an attempt logged in one breath

// A step that was logged as tried against a failure: `decide try cap-hard extension`.
struct TriedStep {
  std::string strategy, reason, step;  // words of the log
  bool worked = false;                 // the next milestone, or the crossing, came in the same attempt and before another step was tried
  bool invented = false;
};

struct Observed {
  std::vector<ObservedAttempt> attempts;
  std::vector<TriedStep> steps;
  int steps_open = 0;     // tried outside an attempt, or in one that still runs: left out
  int no_difficulty = 0;  // attempts of cases whose J-CTO total is not known: left out
  int open = 0;           // still running, or without an end in the log: left out
};

// Of one case's journal, every visit. Pure.
Observed AttemptsOf(const std::string& case_id, const State& state);
// Of the cases from before the journal was kept.
Observed AttemptsOf(const std::vector<CaseRow>& rows);
void Append(Observed& all, Observed more);
// The steps tried in one case, all visits; the other members stay empty. Pure.
Observed StepsOf(const State& state, bool invented);

}  // namespace fairlead
