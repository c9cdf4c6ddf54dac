// SPDX-License-Identifier: Apache-2.0
// A tray's question from what is known of a case: routes as measured as they are, sizes that follow the vessel.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fact.h"
#include "reasoning/tray/tray.h"

namespace fairlead {

// Facts with derived ones added. `channel`: the collateral's short name; empty: one that seems usable, else the first.
// Usual lengths stand where nobody measured, and are marked so. `one_view`: lengths that were measured in a single
// projection, which is too short; they count as FromOneView has it and say so.
TrayQuestion QuestionFromFacts(const Facts& facts, std::vector<std::string> strategies, std::string_view channel,
                               std::span<const FactKey> one_view = {});

}  // namespace fairlead
