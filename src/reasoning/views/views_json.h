// SPDX-License-Identifier: Apache-2.0
// The advice as JSON, for the command line and the page (docs/methods-views.md). No JSON library here.
#pragma once

#include <optional>
#include <string>

#include "reasoning/views/advice.h"

namespace fairlead {

// With every `every`th row and column of the maps; 0: without them.
std::string AdviceJson(const ViewQuestion& question, const ViewAdvice& advice, const std::optional<Spared>& spared, int every);

}  // namespace fairlead
