// SPDX-License-Identifier: Apache-2.0
// demo/shelf.csv as it was when the program was built. Every row is invented.
#pragma once

#include <string_view>

namespace fairlead {

std::string_view InventedShelfText();

}  // namespace fairlead
