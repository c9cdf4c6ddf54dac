// SPDX-License-Identifier: Apache-2.0
// The solver's model and answer as JSON text.
#pragma once

#include <string>
#include <string_view>

#include "reasoning/strategy/model.h"
#include "reasoning/strategy/solve.h"

namespace fairlead {

// {"strategies": [...], "budget": {...}, ...} as docs/wire.md has it. Checked.
Result<LadderModel> ParseLadderModel(std::string_view json);

// {"plan": [{"id", "minutes"}], "utility", "p_cross", "p_complication", "minutes", "contrast_ml", "kerma_mgy", ...}:
// minutes, contrast and kerma are expected values; "at_most" is what the plan takes if nothing ends it early.
std::string SolutionJson(const LadderModel& model, const Solution& solution);

}  // namespace fairlead
