// SPDX-License-Identifier: Apache-2.0
#include "casebook/json_depth.h"

namespace fairlead {

bool NestsDeeper(std::string_view json, int deepest) {
  int depth = 0;
  bool quoted = false;
  for (std::size_t i = 0; i < json.size(); ++i) {
    const char c = json[i];
    if (quoted && c == '\\') ++i;
    else if (c == '"') quoted = !quoted;
    else if (!quoted && (c == '{' || c == '[') && ++depth > deepest) return true;
    else if (!quoted && (c == '}' || c == ']')) --depth;
  }
  return false;
}

}  // namespace fairlead
