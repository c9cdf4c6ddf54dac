// SPDX-License-Identifier: Apache-2.0
// Lines of the log that the table of verbs does not hold: notes and facts.
#pragma once

#include <string_view>

#include "casebook/entry.h"
#include "measure/result.h"

namespace fairlead {

// "note TEXT"; "fact NAME VALUE [± SD]" with the fact's own unit allowed after the number ("fact length_angio_mm
// 19.2 +- 1.4 mm", "fact c1.rentrop 2", "fact ostial yes", "fact stump_angio unseen"). Words are taken in either case.
// What is not understood is refused with a suggestion; a number out of range without another number.
Result<EntryData> ParsePlainLine(std::string_view text);

}  // namespace fairlead
