// SPDX-License-Identifier: Apache-2.0
// Bytes as text, RFC 4648 section 4.
#pragma once

#include <string>
#include <string_view>

namespace fairlead {

std::string Base64(std::string_view bytes);

}  // namespace fairlead
