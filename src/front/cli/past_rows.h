// SPDX-License-Identifier: Apache-2.0
// The registry as a command reads it: derived anew from every journal of the data folder; and with it the past cases.
#pragma once

#include <vector>

#include "front/cli/command.h"
#include "practice/registry/registry.h"

namespace fairlead {

// Empty where there is no data folder yet. Errors: what the journal says, with the case.
Result<Registry> ReadRegistry(const Arguments& arguments);

// The lab's own list of past cases (knowledge "past-cases").
Result<std::vector<CaseRow>> ReadListed(const Arguments& arguments);

}  // namespace fairlead
