// SPDX-License-Identifier: Apache-2.0
// Whole cases in and out of the data folder in use.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "front/server/practice.h"
#include "keeping/journal/carry.h"
#include "keeping/parcel/parcel.h"
#include "measure/result.h"

namespace fairlead {

std::filesystem::path DataOf(Practice& practice);

// Whole chains into the journal (all or none, or only looked at), under the lock of the practice; what was held of them is caught up.
Result<std::vector<CarriedIn>> Carry(Practice& practice, const std::vector<const CarriedChain*>& chains, bool only_look);

// A case as it leaves this folder.
Result<ParcelContents> Gather(Practice& practice, const std::string& case_id, const std::string& program);

}  // namespace fairlead
