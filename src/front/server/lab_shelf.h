// SPDX-License-Identifier: Apache-2.0
// The lab's shelf in the lab's knowledge: read from it, and as the entries that write it.
#pragma once

#include <string>
#include <vector>

#include "casebook/entry.h"
#include "casebook/knowledge.h"
#include "measure/result.h"
#include "reasoning/kit/shelf.h"

namespace fairlead {

// The text `shelf` and its further parts; the invented shelf where the lab says nothing.
Result<Shelf> ShelfOf(const Knowledge& knowledge);

// What to write so that ShelfOf gives that shelf. `version` tells this list from others: the time will do.
std::vector<KnowledgeWritten> ShelfWritten(const Shelf& shelf, const std::string& owner, const std::string& version);

}  // namespace fairlead
