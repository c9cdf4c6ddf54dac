// SPDX-License-Identifier: Apache-2.0
// The occlusion between two caps in one pose of the gantry: body, checks of the pose, answer.
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <utility>

#include "front/server/answer.h"
#include "front/server/body_parts.h"
#include "front/server/dark_frame.h"
#include "front/server/json_text.h"
#include "front/server/routes.h"
#include "imaging/ruler/gap.h"

namespace fairlead {
namespace {

constexpr double kSamePoseDeg = 2.0;      // each angle: practice, no source
constexpr double kSameDistance = 0.01;    // of SID: practice, no source

struct MarkedEnd {
  std::string image;
  int frame = 0;
  GapEnd end;
  std::optional<PixelPoint> landmark;
};

struct GapBody {
  MarkedEnd near, far;
  std::vector<PixelPoint> between;
  PixelSize pixel;
};

Result<std::optional<PixelPoint>> MaybePoint(const JsonMembers& members, std::string_view name) {
  const auto* found = Find(members, name);
  if (found == nullptr) return std::optional<PixelPoint>{};
  auto point = Point(*found);
  if (!point.ok()) return Within(std::string(name), point.error());
  return std::optional<PixelPoint>{*point};
}

Result<MarkedEnd> EndOf(const JsonMembers& outer, std::string_view name) {
  static constexpr std::array<std::string_view, 5> kMembers = {"image", "frame", "cap", "lumen", "landmark"};
  const auto* found = Find(outer, name);
  if (found == nullptr) return Bad("a member is missing", std::string(name), "give {image, frame, cap}");
  auto members = Known(*found, kMembers);
  if (!members.ok()) return Within(std::string(name), members.error());
  auto image = Word(*members, "image", true);
  if (!image.ok()) return Within(std::string(name), image.error());
  auto frame = Place(*members, "frame");
  if (!frame.ok()) return Within(std::string(name), frame.error());
  auto cap = MaybePoint(*members, "cap");
  if (!cap.ok()) return Within(std::string(name), cap.error());
  if (!*cap) return Bad("a cap is not marked", std::string(name) + ".cap", "give {x, y}");
  auto lumen = MaybePoint(*members, "lumen");
  if (!lumen.ok()) return Within(std::string(name), lumen.error());
  auto landmark = MaybePoint(*members, "landmark");
  if (!landmark.ok()) return Within(std::string(name), landmark.error());
  return MarkedEnd{std::move(*image), *frame, {**cap, *lumen}, *landmark};
}

Result<GapBody> ParseGap(std::string_view json) {
  static constexpr std::array<std::string_view, 4> kMembers = {"near", "far", "between", "pixel_size"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto near = EndOf(*members, "near");
  if (!near.ok()) return near.error();
  auto far = EndOf(*members, "far");
  if (!far.ok()) return far.error();
  GapBody body{std::move(*near), std::move(*far), {}, {}};
  if (const auto* between = Find(*members, "between")) {
    auto points = PointList(*between, "between");
    if (!points.ok()) return points.error();
    body.between = std::move(*points);
  }
  auto pixel = GivenPixelSize(*members);
  if (!pixel.ok()) return pixel.error();
  body.pixel = std::move(*pixel);
  return body;
}

// One pose shows both, or a sentence why not.
Status SamePose(const Run& near, const Run& far, std::vector<std::string>& warnings) {
  if (near.rows != far.rows || near.columns != far.columns) return Error{"the two runs have pictures of different sizes", "far", "choose two runs of one pose and one field"};
  if (!near.view || !far.view) {
    warnings.emplace_back("A run does not say its angles: that both have one pose is taken on trust.");
    return Done{};
  }
  const auto apart = [](Angle a, Angle b) { return std::abs(a.degrees() - b.degrees()); };
  if (apart(near.view->primary, far.view->primary) > kSamePoseDeg || apart(near.view->secondary, far.view->secondary) > kSamePoseDeg) {
    return Error{"the two runs have different poses", "far", "mark both caps in one pose, or measure in space from two views"};
  }
  if (near.source_to_detector && far.source_to_detector && std::abs(*far.source_to_detector / *near.source_to_detector - 1.0) > kSameDistance) {
    return Error{"the detector stood at different distances in the two runs", "far", "choose two runs with one source-to-detector distance"};
  }
  warnings.emplace_back("Whether the table stood still between the two runs is not known here: a landmark shows it.");
  return Done{};
}

Status InPicture(const Run& run, const MarkedEnd& end, const char* where) {
  if (Status good = CheckMeasurable(run, end.frame); !good) return good.error();
  const auto inside = [&](PixelPoint p) { return p.x >= -0.5 && p.y >= -0.5 && p.x <= run.columns - 0.5 && p.y <= run.rows - 0.5; };
  if (!inside(end.end.cap) || (end.end.lumen && !inside(*end.end.lumen)) || (end.landmark && !inside(*end.landmark))) {
    return Error{"a point lies outside the picture", where, "click inside the picture"};
  }
  return Done{};
}

void WriteSpread(JsonText& json, std::string_view name, double value, double sd) { json.Key(name).Open('{').Member("value", value).Member("sd", sd).Close('}'); }

std::string GapJson(const Gap& gap, const std::vector<std::string>& more) {
  JsonText json;
  json.Open('{');
  WriteSpread(json, "length_mm", gap.length.value.millimetres(), gap.length.sd->millimetres());
  json.Key("parts").Open('[');
  for (const auto& part : gap.length.parts) json.Open('{').Member("name", part.name).Member("sd", part.sd.millimetres()).Close('}');
  json.Close(']').Member("method", gap.length.origin.method).Member("chord_mm", gap.chord.millimetres());
  json.Member("course_from", gap.course_from).Key("course").Open('[');
  for (const PixelPoint& p : gap.course) json.Open('[').Number(p.x).Number(p.y).Close(']');
  json.Close(']').Key("bend");
  if (gap.bend) {
    json.Open('{');
    WriteSpread(json, "deg", gap.bend->largest.degrees(), gap.bend->sd.degrees());
    json.Member("over_45", gap.bend->over_45).Member("arm_mm", gap.bend->arm.millimetres()).Close('}');
  } else json.Null();
  json.Key("warnings").Open('[');
  for (const auto* list : {&more, &gap.warnings}) for (const std::string& warning : *list) json.Text(warning);
  return json.Close(']').Close('}').Take();
}

Response GapAnswer(App& app, Asked& asked) {
  auto body = ParseGap(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  auto near = app.practice.ImageOf(body->near.image), far = app.practice.ImageOf(body->far.image);
  for (const auto* image : {&near, &far}) {
    if (!image->ok()) return Refusal(image->error().fault == Fault::kOutside ? 503 : 404, image->error());
  }
  if (Status good = InPicture((*near)->run, body->near, "near"); !good) return Refusal(good.error());
  if (Status good = InPicture((*far)->run, body->far, "far"); !good) return Refusal(good.error());
  GapRequest request;
  request.near = body->near.end, request.far = body->far.end;
  request.between = std::move(body->between), request.pixel = std::move(body->pixel);
  request.landmark_near = body->near.landmark, request.landmark_far = body->far.landmark;
  std::vector<std::string> warnings;
  if (body->near.image != body->far.image) {
    request.moments = GapMoments::kTwoRuns;
    if (Status good = SamePose((*near)->run, (*far)->run, warnings); !good) return Refusal(good.error());
  } else if (body->near.frame != body->far.frame) {
    request.moments = GapMoments::kTwoFrames;
  }
  auto gap = MeasureGap(request);
  if (!gap.ok()) return Refusal(gap.error());
  return Json(GapJson(*gap, warnings));
}

constexpr std::array<Route, 1> kRoutes = {{
    {.method = "POST", .path = "/api/measure/gap", .body = Route::Body::kJson, .needs = Role::kReader, .answer = GapAnswer},
}};

}  // namespace

std::span<const Route> GapRoutes() { return kRoutes; }

}  // namespace fairlead
