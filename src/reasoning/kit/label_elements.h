// SPDX-License-Identifier: Apache-2.0
// The application identifiers of GS1: length of the key, length and kind of the value. Only the room's own files
// include this header.
#pragma once

#include <cstddef>
#include <string_view>

namespace fairlead {

struct Identifier {
  std::string_view prefix;    // first digits of the key; the rest, if any, is the place of a decimal point or a number
  std::size_t key = 2;        // digits of the whole key
  std::string_view title;
  bool digits_only = false;
  std::size_t least = 1, most = 20;
  bool predefined = false;    // its length is known from the key: no separator follows
  bool check = false;         // ends in a check digit
  bool date = false;          // YYMMDD
};

// Null if the text begins with no known key.
const Identifier* FindIdentifier(std::string_view text);

}  // namespace fairlead
