// SPDX-License-Identifier: Apache-2.0
// The advice as JSON, for the command line and the page (docs/methods-views.md). No JSON library here.
#pragma once

#include <optional>
#include <string>

#include "reasoning/views/advice.h"

namespace fairlead {

// With the maps, cell by cell, where `maps` is set.
std::string AdviceJson(const ViewQuestion& question, const ViewAdvice& advice, const std::optional<Spared>& spared, bool maps);

}  // namespace fairlead
