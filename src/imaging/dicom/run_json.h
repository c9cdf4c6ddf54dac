// SPDX-License-Identifier: Apache-2.0
// A run as the page sees it: the object Image of docs/wire.md.
#pragma once

#include <string>

#include "imaging/dicom/run.h"

namespace fairlead {

// One JSON object in UTF-8. Text from the file is escaped; bytes that are not UTF-8 become U+FFFD.
std::string RunJson(const Run& run);

}  // namespace fairlead
