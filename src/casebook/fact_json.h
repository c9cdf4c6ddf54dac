// SPDX-License-Identifier: Apache-2.0
// Beliefs and files of facts as JSON text, as docs/wire.md describes them. No JSON library here: text in, text out.
#pragma once

#include <string>
#include <string_view>

#include "casebook/fact.h"
#include "measure/result.h"

namespace fairlead {

// One value of the fact that `row` describes, from its JSON text. Refuses what the row does not allow: an unknown grade
// (naming the nearest), a number outside low..high, a standard deviation below zero, odds that do not sum to 1 within
// 1e-6, NaN, more than 64 KiB of text or 8 levels of nesting.
Result<Belief> ParseBelief(const FactRow& row, std::string_view json);

// The shortest form of docs/wire.md: `true` for a certain flag, `"blunt"` for a certain grade, `19` for a bare number.
std::string BeliefJson(const FactRow& row, const Belief& belief);

// A FACTS.json file: one object, name -> value. Facts of collateral channels stand in `"channels": {"c1": {name:
// value}}` or, for a single channel, beside the others. A name that begins with "_" is a remark and ignored. Unknown
// names are refused with the nearest known one; a name given twice is refused; at most 1 MiB, 8 levels, 64 channels.
Result<Facts> ParseFacts(std::string_view json);

// The same file from facts: what ParseFacts reads back to the same beliefs.
std::string FactsFileJson(const Facts& facts);

}  // namespace fairlead
