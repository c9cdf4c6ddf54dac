// SPDX-License-Identifier: Apache-2.0
// A word as people type it in lists, made comparable. Only the room's own files include this header.
#pragma once

#include <string>
#include <string_view>

namespace fairlead {

// Lower case without accents ("Péremption" -> "peremption", "Länge" -> "lange", "Außen" -> "aussen"); brackets, blanks, points, slashes and
// hyphens become single underscores, none at the ends.
std::string PlainWord(std::string_view text);

}  // namespace fairlead
