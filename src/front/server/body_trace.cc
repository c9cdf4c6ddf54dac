// SPDX-License-Identifier: Apache-2.0
#include "front/server/body_trace.h"

#include <array>
#include <cstddef>

#include "front/server/body_parts.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostStrokes = 200, kMostStretches = 20;

Result<std::vector<EdgeStroke>> Strokes(const JsonMembers& members) {
  std::vector<EdgeStroke> strokes;
  const auto* list = Find(members, "strokes");
  if (list == nullptr) return strokes;
  auto elements = ElementsOf(*list);
  if (!elements.ok()) return Within("strokes", elements.error());
  if (elements->size() > kMostStrokes) return Bad("there are more than 200 strokes", "strokes", "take some back");
  for (const std::string_view each : *elements) {
    auto stroke = PointList(each, "strokes[" + std::to_string(strokes.size()) + "]");
    if (!stroke.ok()) return stroke.error();
    strokes.push_back(std::move(*stroke));
  }
  return strokes;
}

Result<std::vector<HealthyStretch>> Stretches(const JsonMembers& members) {
  static constexpr std::array<std::string_view, 2> kMembers = {"from_mm", "to_mm"};
  std::vector<HealthyStretch> stretches;
  const auto* list = Find(members, "healthy");
  if (list == nullptr) return stretches;
  auto elements = ElementsOf(*list);
  if (!elements.ok()) return Within("healthy", elements.error());
  if (elements->size() > kMostStretches) return Bad("there are more than 20 stretches", "healthy", "choose fewer");
  for (const std::string_view each : *elements) {
    auto inside = Known(each, kMembers);
    if (!inside.ok()) return Within("healthy", inside.error());
    auto from = Figure(*inside, "from_mm");
    if (!from.ok()) return Within("healthy", from.error());
    auto to = Figure(*inside, "to_mm");
    if (!to.ok()) return Within("healthy", to.error());
    if (!(*to > *from)) return Bad("a healthy stretch has no length", "healthy", "give from_mm below to_mm");
    stretches.push_back({Length::Millimetres(*from), Length::Millimetres(*to)});
  }
  return stretches;
}

}  // namespace

Result<TreeBody> ParseTreeBody(std::string_view json) {
  static constexpr std::array<std::string_view, 4> kMembers = {"image", "frame", "from", "turns"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto image = Word(*members, "image", true);
  if (!image.ok()) return image.error();
  auto frame = Place(*members, "frame");
  if (!frame.ok()) return frame.error();
  const auto* from = Find(*members, "from");
  if (from == nullptr) return Bad("a member is missing", "from", "give {x, y}");
  auto point = Point(*from);
  if (!point.ok()) return Within("from", point.error());
  const auto* turns = Find(*members, "turns");
  if (turns != nullptr && *turns != "true" && *turns != "false") return Bad("turns is neither true nor false", "turns", "send true for the tree that prices corners");
  return TreeBody{std::move(*image), *frame, *point, turns != nullptr && *turns == "true"};
}

Result<TraceBody> ParseTrace(std::string_view json) {
  static constexpr std::array<std::string_view, 6> kMembers = {"image", "frame", "points", "pixel_size", "strokes", "healthy"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto image = Word(*members, "image", true);
  if (!image.ok()) return image.error();
  auto frame = Place(*members, "frame");
  if (!frame.ok()) return frame.error();
  auto points = Points(*members);
  if (!points.ok()) return points.error();
  auto strokes = Strokes(*members);
  if (!strokes.ok()) return strokes.error();
  auto healthy = Stretches(*members);
  if (!healthy.ok()) return healthy.error();
  TraceBody body{std::move(*image), *frame, {}};
  body.request.through = std::move(*points);
  body.request.brush = std::move(*strokes);
  body.request.healthy = std::move(*healthy);
  if (Find(*members, "pixel_size") == nullptr) return body;
  auto pixel = GivenPixelSize(*members);
  if (!pixel.ok()) return pixel.error();
  body.request.pixel = std::move(*pixel);
  return body;
}

}  // namespace fairlead
