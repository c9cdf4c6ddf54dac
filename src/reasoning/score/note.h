// SPDX-License-Identifier: Apache-2.0
// What must be said beside a result so that it is not misread.
#pragma once

#include "reasoning/score/score.h"
#include "reasoning/score/total.h"

namespace fairlead {

// Appends to `result.notes`. Takes a result with total, groups and outcome filled.
void AddNotes(const Beliefs& beliefs, const ScoreSettings& settings, ScoreResult& result);

}  // namespace fairlead
