// SPDX-License-Identifier: Apache-2.0
// Scores on HOLD: which findings count, without points.
#pragma once

#include "reasoning/score/definition.h"
#include "reasoning/score/score.h"
#include "reasoning/score/total.h"

namespace fairlead {

// Probability that the test holds; nullopt while its fact is missing.
std::optional<double> ProbabilityOf(const Test& test, const Beliefs& beliefs, const ScoreSettings& settings);

// Fills findings, missing facts and, for the channel score of 2020, the bounds that hold for any positive points.
void FillFindings(const Beliefs& beliefs, const ScoreSettings& settings, ScoreResult& result);

}  // namespace fairlead
