// SPDX-License-Identifier: Apache-2.0
// Chains as rows of the store. Inside this room only; every call may throw StoreFailure.
#pragma once

#include <string>

#include "keeping/journal/carry.h"
#include "keeping/journal/store.h"

namespace fairlead {

CarriedChain ReadCarried(Store& store, const std::string& case_id);
Result<CarriedIn> PutCarried(Store& store, const CarriedChain& chain, bool only_look);

}  // namespace fairlead
