// SPDX-License-Identifier: Apache-2.0
#include "front/server/body_parts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "measure/nearest.h"

namespace fairlead {
namespace {

constexpr std::size_t kLongestWord = 400;

std::string Listed(std::span<const std::string_view> names) {
  std::string text;
  for (const auto name : names) text += (text.empty() ? "" : ", ") + std::string(name);
  return text;
}

}  // namespace

Error Bad(std::string what, std::string where, std::string to_do) {
  return {std::move(what), std::move(where), std::move(to_do), Fault::kInput};
}

Result<JsonMembers> Known(std::string_view json, std::span<const std::string_view> known) {
  auto members = MembersOf(json);
  if (!members.ok()) return members;
  for (const auto& [name, value] : *members) {
    if (std::find(known.begin(), known.end(), name) != known.end()) continue;
    std::string hint = DidYouMean(name, known);
    if (hint.empty()) hint = "known are " + Listed(known);
    return Bad("the request has an unknown member", "\"" + name.substr(0, 64) + "\"", hint);
  }
  return members;
}

const std::string_view* Find(const JsonMembers& members, std::string_view name) {
  const auto at = std::find_if(members.begin(), members.end(), [&](const auto& m) { return m.first == name; });
  return at == members.end() ? nullptr : &at->second;
}

Result<std::string> Word(const JsonMembers& members, std::string_view name, bool needed) {
  const auto* value = Find(members, name);
  if (value == nullptr && !needed) return std::string();
  auto text = value == nullptr ? Result<std::string>(Bad("a member is missing", std::string(name))) : ParseText(*value);
  if (!text.ok()) return Within(name, text.error());
  if (text->size() > kLongestWord) return Bad("this text is longer than 400 bytes", std::string(name), "shorten it");
  return text;
}

Result<double> Figure(const JsonMembers& members, std::string_view name) {
  const auto* value = Find(members, name);
  if (value == nullptr) return Bad("a member is missing", std::string(name), "give a number");
  auto number = ParseNumber(*value);
  if (!number.ok()) return Within(name, number.error());
  return number;
}

Result<int> Place(const JsonMembers& members, std::string_view name) {
  auto number = Figure(members, name);
  if (!number.ok()) return number.error();
  if (*number < 0 || *number > 1e6 || *number != std::floor(*number)) {
    return Bad("this must be a whole number from 0", std::string(name), "count frames from 0");
  }
  return static_cast<int>(*number);
}

Result<PixelPoint> Point(std::string_view json) {
  static constexpr std::array<std::string_view, 2> kMembers = {"x", "y"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto x = Figure(*members, "x");
  if (!x.ok()) return x.error();
  auto y = Figure(*members, "y");
  if (!y.ok()) return y.error();
  if (std::abs(*x) > 1e5 || std::abs(*y) > 1e5) return Bad("this point lies far outside any picture", "points");
  return PixelPoint{*x, *y};
}

Result<std::vector<PixelPoint>> PointList(std::string_view json, const std::string& where) {
  auto elements = ElementsOf(json);
  if (!elements.ok()) return Within(where, elements.error());
  if (elements->size() > 1000) return Bad("there are more than 1000 points", where, "click fewer");
  std::vector<PixelPoint> points;
  for (std::size_t i = 0; i < elements->size(); ++i) {
    auto point = Point((*elements)[i]);
    if (!point.ok()) return Within(where + "[" + std::to_string(i) + "]", point.error());
    points.push_back(*point);
  }
  return points;
}

Result<std::vector<PixelPoint>> Points(const JsonMembers& members) {
  const auto* value = Find(members, "points");
  if (value == nullptr) return Bad("a member is missing", "points", "give a list of {x, y}");
  return PointList(*value, "points");
}

Result<PixelSize> GivenPixelSize(const JsonMembers& members) {
  static constexpr std::array<std::string_view, 3> kMembers = {"mm_per_px", "sd_mm_per_px", "method"};
  const auto* value = Find(members, "pixel_size");
  if (value == nullptr) return Bad("a member is missing", "pixel_size", "calibrate the image first");
  auto inside = Known(*value, kMembers);
  if (!inside.ok()) return Within("pixel_size", inside.error());
  auto size = Figure(*inside, "mm_per_px");
  if (!size.ok()) return Within("pixel_size", size.error());
  auto sd = Figure(*inside, "sd_mm_per_px");
  if (!sd.ok()) return Within("pixel_size", sd.error());
  auto method = Word(*inside, "method", true);
  if (!method.ok()) return Within("pixel_size", method.error());
  if (!(*size > 0.0) || *size > 10.0) return Bad("a pixel is above 0 and at most 10 mm", "pixel_size.mm_per_px");
  if (!(*sd >= 0.0) || *sd > *size) {
    return Bad("a standard deviation is at least 0 and at most the value", "pixel_size.sd_mm_per_px");
  }
  PixelSize pixel;
  pixel.per_pixel = Length::Millimetres(*size);
  pixel.sd = Length::Millimetres(*sd);
  pixel.method = std::move(*method);
  return pixel;
}

}  // namespace fairlead
