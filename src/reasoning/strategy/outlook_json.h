// SPDX-License-Identifier: Apache-2.0
// The ladder of one case as JSON text with the members of docs/wire.md, and the sentences that people read.
#pragma once

#include <cstdint>
#include <string>

#include "reasoning/strategy/panel.h"

namespace fairlead {

// "6 in 10"; "under 1 in 10", "over 9 in 10".
std::string InTens(double p);

// "after 25 more minutes RW/RDR no longer fits (15 to set up and at least 15 to work; minutes run out)".
std::string FitSentence(const Ladder& ladder, const FitView& fit, const Priors& priors);

// "no clear difference", or which of the two ways on is likelier to finish, and by how much.
std::string DifferenceSentence(const Patience& patience);

// `seq`: the last entry of the case that it rests on; 0 without a case.
std::string LadderJson(const LadderAnswer& answer, std::int64_t seq = 0);

}  // namespace fairlead
