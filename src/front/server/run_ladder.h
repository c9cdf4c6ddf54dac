// SPDX-License-Identifier: Apache-2.0
// The ladder in the lab: the session as the run's entries tell it, and what it says then.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casebook/fold.h"
#include "casebook/knowledge.h"
#include "casebook/run/run_state.h"
#include "measure/result.h"
#include "reasoning/budget/limits.h"
#include "reasoning/budget/patient.h"
#include "reasoning/strategy/run_session.h"

namespace fairlead {

// The lab's knowledge "priors"; the published ones where it has none.
Result<Priors> PriorsOf(const Knowledge& lab);

// What the session has tried and used, held against the lab's limits. Before a session and after it: those limits alone.
Session LadderSessionOf(const RunState& run, const RunPatient& patient, const RunLimits& limits, const Priors& priors, Instant now);

// `asked` over what the run tells: limits and amounts that it names, ways that it closes, attempts that it supposes.
Session Supposed(Session run, const Session& asked);

// The patience strip in words, for the journal; empty where no attempt can be planned for.
std::vector<std::string> LadderLines(const State& state, const RunState& run, const RunPatient& patient, const RunLimits& limits, const Knowledge& lab, Instant at, int draws);

}  // namespace fairlead
