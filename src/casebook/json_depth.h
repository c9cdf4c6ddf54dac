// SPDX-License-Identifier: Apache-2.0
// How deep a text from outside nests, told before a parser sees it: a parser that recurses would overflow its stack.
#pragma once

#include <string_view>

namespace fairlead {

// Whether brackets outside strings stand within more than `deepest` others. The text need not be well formed.
bool NestsDeeper(std::string_view json, int deepest);

}  // namespace fairlead
