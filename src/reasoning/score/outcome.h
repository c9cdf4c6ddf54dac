// SPDX-License-Identifier: Apache-2.0
// Published outcomes mixed over the law of a total, and the models rebuilt from published odds ratios.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "reasoning/score/definition.h"
#include "reasoning/score/score.h"
#include "reasoning/score/total.h"

namespace fairlead {

// Index of the group that holds a total in half points; the number of groups if none does.
std::size_t GroupOf(const ScoreDefinition& score, std::size_t halves);

// Whether a rate of this table may be shown: never one from memory, never one of a score under CHECK or HOLD.
bool MayShow(const ScoreDefinition& score, const RateTable& table);

// The mixture over the law, per group low and high figure (equal unless only bounds are published).
Rate MixedRate(const ScoreDefinition& score, const RateTable& table, const TotalLaw& law);

// All outcomes of the score. `laws` belong to `parts`.
std::vector<OutcomeResult> Outcomes(const ScoreDefinition& score, std::span<const Part> parts,
                                    std::span<const TotalLaw> laws);

// The missing fact whose answer moves the outcome most (or the total, where no rate may be shown). The strategy is a
// choice and never named.
std::optional<Decides> DecidingFact(const ScoreDefinition& score, std::span<const Part> parts);

// "1", "2.5".
std::string PointsText(double points);

}  // namespace fairlead
