// SPDX-License-Identifier: Apache-2.0
// Writing for a command: through the running program if there is one, else with the folder's lock.
#pragma once

#include <span>
#include <string>

#include "casebook/entry_json.h"
#include "front/cli/command.h"
#include "measure/result.h"

namespace fairlead {

// An entry of now, or of `--at`, by `--by`.
Result<IncomingEntry> EntryOf(const Arguments& arguments, EntryData data, std::string amends = {});

// {"entries": [Receipt]}, as the server answers it. `case_id` is whole, or kLabCase.
Result<std::string> AppendEntry(const Arguments& arguments, const std::string& case_id, const IncomingEntry& entry);

// Several at once.
Result<std::string> AppendEntries(const Arguments& arguments, const std::string& case_id, std::span<const IncomingEntry> entries);

}  // namespace fairlead
