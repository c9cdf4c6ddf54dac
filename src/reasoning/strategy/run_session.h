// SPDX-License-Identifier: Apache-2.0
// The run as the ladder sees it: what was tried and for how long, which milestones were reached, what runs now. Minutes
// are of work: breaks are left out.
#pragma once

#include "casebook/run/run_state.h"
#include "reasoning/strategy/ladder.h"

namespace fairlead {

// The id of a run's attempt among the priors: "AW", "ADR", "RW/RDR", "RW/RDR c1".
std::string LadderId(const RunAttempt& attempt);

// Ways and phases that the priors do not have are left out: a ladder can always be built from it. A way that was left
// because kit or skill is missing is closed; every other may be taken up again where it was left.
RunSoFar SoFarOf(const RunState& run, const Priors& priors, Instant now);

}  // namespace fairlead
