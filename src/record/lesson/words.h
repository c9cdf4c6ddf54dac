// SPDX-License-Identifier: Apache-2.0
// Words of free text held against what a name cannot be: a general dictionary and the trade's own words, both inside the
// program. A word that is in neither may be a name and is taken out unless somebody keeps it.
#pragma once

#include <cstddef>
#include <string_view>

namespace fairlead {

// How many bytes of a word begin at `at`: letters (every byte from 0x80 on counts as one), digits, and '-', "'", '_' or '/' between two of
// them. 0 where none begins, or within one.
std::size_t WordFrom(std::string_view text, std::size_t at);

// Whether the word that is text[at, at + size) may be a name. No: words of the dictionary in small letters, or with a capital where a
// sentence begins unless the dictionary has them as a name too ("Baker"); words of the trade in any case ("RCA", "Septal"); numbers,
// and numbers with a unit ("285s", "7F"). Yes: all else, so also a misspelt word. A name that is an ordinary word written small passes.
bool MayBeName(std::string_view text, std::size_t at, std::size_t size);

// Whether a word that passes above is a name as well: "baker" written small.
bool IsWordAndName(std::string_view text, std::size_t at, std::size_t size);

// Equal but for the case of letters A to Z.
bool SameWord(std::string_view a, std::string_view b);

}  // namespace fairlead
