// SPDX-License-Identifier: Apache-2.0
// Members of the points that were marked (docs/wire.md): one at a time, each with a sentence if it is wrong.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/body.h"
#include "geometry/view.h"

namespace fairlead::points {

using Names = std::span<const std::string_view>;

Error Bad(std::string what, std::string where, std::string to_do = {});

// The members of an object; one that is not among `known` is refused, with the nearest or with the list.
Result<JsonMembers> Known(std::string_view json, Names known);
const std::string_view* Find(const JsonMembers& members, std::string_view name);  // null if it is not there

Result<std::optional<double>> Figure(const JsonMembers& members, std::string_view name);
Result<std::string> Word(const JsonMembers& members, std::string_view name);  // 1 to 80 bytes, required
Result<std::vector<double>> Numbers(std::string_view json, std::size_t count);
Result<ImagePoint> Point(std::string_view json);

}  // namespace fairlead::points
