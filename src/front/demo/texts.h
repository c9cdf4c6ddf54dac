// SPDX-License-Identifier: Apache-2.0
// The files of demo/ as they were when the program was built.
#pragma once

#include <string_view>

namespace fairlead {

// demo/case-N.jsonl, one entry a line; N from 1 to 4, else empty.
std::string_view DemoText(int number);

}  // namespace fairlead
