// SPDX-License-Identifier: Apache-2.0
// Reading a case for a command: beside a running program or at rest, without a lock.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "casebook/fold.h"
#include "casebook/knowledge.h"
#include "front/cli/command.h"
#include "keeping/journal/journal.h"
#include "measure/result.h"

namespace fairlead {

Result<std::unique_ptr<Journal>> ReadJournal(const Arguments& arguments);

// The whole id of the case that `arguments.case_id` begins. Errors: none or several begin so.
Result<std::string> WholeId(const Journal& journal, const Arguments& arguments);

struct ReadCase {
  std::string id;
  std::vector<Entry> entries;
};
Result<ReadCase> ReadEntries(const Arguments& arguments);

// What the lab knows now, or knew at `known`; nothing where there is no data folder yet, so that a command can go on
// with its defaults.
Result<Knowledge> ReadLab(const Arguments& arguments, std::optional<Instant> known = std::nullopt);

// Its state now, or in the past if `arguments.at` is given.
Result<State> StateAsked(const Arguments& arguments, std::vector<Entry> entries);

}  // namespace fairlead
