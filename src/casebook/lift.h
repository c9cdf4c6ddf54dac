// SPDX-License-Identifier: Apache-2.0
// Old versions of a kind's data are lifted on reading, one pure step from v to v + 1 a kind, and never rewritten.
#pragma once

#include <string>
#include <string_view>

#include "measure/result.h"

namespace fairlead {

// The oldest version of a kind that can still be lifted (0 for "fact", 1 for the others).
int OldestVersion(std::string_view kind);

// `json` of `version` as the next version writes it. Errors: no such step; data that the old version did not allow.
Result<std::string> LiftEntryData(std::string_view kind, int version, std::string_view text);

}  // namespace fairlead
