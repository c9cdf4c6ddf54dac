// SPDX-License-Identifier: Apache-2.0
// The store of runs for a command beside a program that owns the folder.
#pragma once

#include "keeping/images/images.h"

namespace fairlead {

// Nothing is made or cleared when it is opened; frames that left the cache are still made anew where the folder can be written.
Result<std::unique_ptr<ImageStore>> OpenImagesToRead(const std::filesystem::path& data);

}  // namespace fairlead
