// SPDX-License-Identifier: Apache-2.0
// What the screens say of an assessment, in words: kept in the journal at each acceptance of a measurement.
#pragma once

#include <cstddef>
#include <string>

#include "casebook/fact.h"
#include "reasoning/assess/assess.h"

namespace fairlead {

inline constexpr std::size_t kLongestShown = 8 * 1024;  // bytes; what is left out is counted on the last line

// One line a score: total or range, groups with their chances, published outcome with its source, what is missing.
std::string ShownText(const Assessment& assessment);

// "J-CTO 1 to 2"; "J-CTO does not apply".
std::string TotalText(const ScoreResult& result);

// One line for a list of cases: "LCX, occlusion length 19.2 ± 1.4 mm, J-CTO 1 to 3"; empty while nothing is known.
std::string SummaryLine(const Facts& stated);

}  // namespace fairlead
