// SPDX-License-Identifier: Apache-2.0
// What the bodies of several paths share: members by name, with one sentence for each that is wrong.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/body.h"

namespace fairlead {

Error Bad(std::string what, std::string where, std::string to_do = {});

// The members of an object, all of which are in `known`.
Result<JsonMembers> Known(std::string_view json, std::span<const std::string_view> known);
const std::string_view* Find(const JsonMembers& members, std::string_view name);

Result<std::string> Word(const JsonMembers& members, std::string_view name, bool needed);
Result<double> Figure(const JsonMembers& members, std::string_view name);
Result<int> Place(const JsonMembers& members, std::string_view name);      // a frame's number
Result<PixelPoint> Point(std::string_view json);                           // {x, y}
Result<std::vector<PixelPoint>> PointList(std::string_view json, const std::string& where);
Result<std::vector<PixelPoint>> Points(const JsonMembers& members);        // of "points"
Result<PixelSize> GivenPixelSize(const JsonMembers& members);              // of "pixel_size"

}  // namespace fairlead
