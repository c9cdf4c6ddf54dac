// SPDX-License-Identifier: Apache-2.0
// One line of the log, as a person types it, into an entry.
#pragma once

#include <string_view>

#include "casebook/entry.h"
#include "measure/result.h"

namespace fairlead {

// "note TEXT"; "fact NAME VALUE [± SD]" with the fact's own unit allowed after the number ("fact length_angio_mm
// 19.2 +- 1.4 mm", "fact c1.rentrop 2", "fact ostial yes", "fact stump_angio unseen"). Words are taken in either case.
// What is not understood is refused with a suggestion; a number out of range without another number.
Result<EntryData> ParseLogLine(std::string_view text);

}  // namespace fairlead
