// SPDX-License-Identifier: Apache-2.0
// The target of a request line, "/api/cases/X?known": split and percent-decoded, or refused.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace fairlead {

struct Target {
  std::string path;  // begins with '/'
  std::vector<std::pair<std::string, std::string>> query;
};

// RFC 3986 section 2.1 for the escapes; '+' in a query is a space. Nothing for a target that does not begin with '/', a
// broken escape, a control character or a byte sequence that is not UTF-8.
std::optional<Target> ParseTarget(std::string_view text);

// "/api/cases/X" -> {"api", "cases", "X"}; empty pieces are kept, so that "//" never equals "/".
std::vector<std::string_view> Pieces(std::string_view path);

// True for well-formed UTF-8 (RFC 3629: no overlong form, no surrogate, nothing above U+10FFFF).
bool IsUtf8(std::string_view text);

}  // namespace fairlead
