// SPDX-License-Identifier: Apache-2.0
// What Cairo 1.16 leaves out of a tagged PDF: the mark that it is one, its language, the title for the window, and words in the place of each figure.
#pragma once

#include <string>
#include <vector>

namespace fairlead {

// `figures` in the order in which they were drawn. The same bytes give the same bytes; bytes that are no PDF come back as they were.
std::string Tagged(const std::string& pdf, const std::vector<std::string>& figures);

}  // namespace fairlead
