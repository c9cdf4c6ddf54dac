// SPDX-License-Identifier: Apache-2.0
// Difficulty scores that point in different directions: information, not an error.
#pragma once

#include <vector>

#include "reasoning/assess/assess.h"

namespace fairlead {

// Probability that one score stands in its highest band while the other stands in its lowest, over the joint law of the
// facts of both: a length that feeds both is one random thing. Both must lack no fact.
double ChanceOfHighAndLow(const ScoreDefinition& high, const ScoreDefinition& low, const Facts& facts,
                          const ScoreSettings& settings);

// Every pair of difficulty scores that disagree so with a probability of at least a quarter (chosen).
std::vector<Disagreement> Disagreements(const std::vector<ScoreResult>& results, const Facts& facts,
                                        const ScoreSettings& settings);

}  // namespace fairlead
