// SPDX-License-Identifier: Apache-2.0
// Inside this room only.
#pragma once

#include <string>
#include <string_view>

namespace fairlead {

std::string Base64(std::string_view bytes);

}  // namespace fairlead
