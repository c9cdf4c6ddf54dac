// SPDX-License-Identifier: Apache-2.0
#include "front/server/pair_members.h"

#include <algorithm>
#include <utility>

#include "measure/nearest.h"

namespace fairlead::points {

Error Bad(std::string what, std::string where, std::string to_do) {
  return {std::move(what), std::move(where), std::move(to_do), Fault::kInput};
}

Result<JsonMembers> Known(std::string_view json, Names known) {
  auto members = MembersOf(json);
  if (!members.ok()) return members;
  for (const auto& [name, value] : *members) {
    if (std::find(known.begin(), known.end(), name) != known.end()) continue;
    std::string list;
    for (const auto each : known) list += (list.empty() ? "known are " : ", ") + std::string(each);
    const std::string hint = DidYouMean(name, known);
    return Bad("there is an unknown member", "\"" + name.substr(0, 64) + "\"", hint.empty() ? list : hint);
  }
  return members;
}

const std::string_view* Find(const JsonMembers& members, std::string_view name) {
  const auto at = std::find_if(members.begin(), members.end(), [&](const auto& m) { return m.first == name; });
  return at == members.end() ? nullptr : &at->second;
}

Result<std::optional<double>> Figure(const JsonMembers& members, std::string_view name) {
  const auto* value = Find(members, name);
  if (value == nullptr) return std::optional<double>();
  auto number = ParseNumber(*value);
  if (!number.ok()) return Within(name, number.error());
  return std::optional(*number);
}

Result<std::string> Word(const JsonMembers& members, std::string_view name) {
  const auto* value = Find(members, name);
  if (value == nullptr) return Bad("a member is missing", std::string(name));
  auto text = ParseText(*value);
  if (!text.ok()) return Within(name, text.error());
  if (text->empty() || text->size() > 80) return Bad("a name has 1 to 80 bytes", std::string(name), "rename it");
  return text;
}

Result<std::vector<double>> Numbers(std::string_view json, std::size_t count) {
  auto elements = ElementsOf(json);
  if (!elements.ok()) return elements.error();
  if (elements->size() != count)
    return Bad("a list of " + std::to_string(count) + " numbers is expected here", "", "a point is [column, row]");
  std::vector<double> numbers;
  for (const auto element : *elements) {
    auto number = ParseNumber(element);
    if (!number.ok()) return number.error();
    numbers.push_back(*number);
  }
  return numbers;
}

Result<ImagePoint> Point(std::string_view json) {
  auto pair = Numbers(json, 2);
  if (!pair.ok()) return pair.error();
  return ImagePoint{(*pair)[0], (*pair)[1]};
}

}  // namespace fairlead::points
