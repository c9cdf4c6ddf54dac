// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <cmath>

#include "front/server/json_text.h"
#include "front/server/pair_body.h"

namespace fairlead {
namespace {

// A thousandth: finer than anything measured here.
double Short(double value) {
  return std::round(value * 1000.0) / 1000.0 + 0.0;
}

void Vector(JsonText& json, Vec3 v) {
  json.Open('[').Number(Short(v.x)).Number(Short(v.y)).Number(Short(v.z)).Close(']');
}

void Six(JsonText& json, const std::array<double, 6>& values) {
  json.Open('[');
  for (const double each : values) json.Number(std::round(each * 1e5) / 1e5 + 0.0);
  json.Close(']');
}

void Sentences(JsonText& json, std::string_view key, const std::vector<std::string>& texts) {
  json.Key(key).Open('[');
  for (const auto& text : texts) json.Text(text);
  json.Close(']');
}

void LengthReading(JsonText& json, std::string_view key, const Reading<Length>& reading) {
  json.Key(key).Open('{').Member("value", Short(reading.value.millimetres())).Key("sd");
  reading.sd ? json.Number(Short(reading.sd->millimetres())) : json.Null();
  json.Key("parts").Open('[');
  for (const auto& part : reading.parts)
    json.Open('{').Member("name", part.name).Member("sd", Short(part.sd.millimetres())).Close('}');
  json.Close(']').Close('}');
}

void AngleReading(JsonText& json, std::string_view key, Angle value, Angle sd) {
  json.Key(key).Open('{').Member("value", Short(value.degrees())).Member("sd", Short(sd.degrees())).Close('}');
}

void SeenLines(JsonText& json, const std::vector<SeenLine>& lines, const Seen& seen) {
  json.Key("seen_px").Open('{');
  for (const SeenLine& line : lines) {
    json.Key(seen.frames[line.frame].key).Open('[');
    for (const ImagePoint& p : line.points)
      json.Open('[').Number(std::round(p.column * 100.0) / 100.0).Number(std::round(p.row * 100.0) / 100.0).Close(']');
    json.Close(']');
  }
  json.Close('}');
}

void Course(JsonText& json, const CourseInSpace& course, const Seen& seen) {
  const CourseNumbers& n = course.numbers;
  json.Open('{').Member("name", course.name).Member("kind", course.kind == PathKind::kVessel ? "vessel" : "collateral");
  LengthReading(json, "length_mm", n.length);
  LengthReading(json, "chord_mm", n.chord);
  json.Key("winding").Open('{').Member("value", Short(n.winding)).Member("sd", Short(n.winding_sd)).Close('}');
  AngleReading(json, "turning_deg", n.turning, n.turning_sd);
  json.Key("bend_deg")
      .Open('{')
      .Member("value", Short(n.bend.value.degrees()))
      .Member("sd", Short(n.bend.sd->degrees()));
  json.Member("at_mm", Short(n.bend_at.millimetres()))
      .Member("arm_mm", Short(n.arm.millimetres()))
      .Member("over_45", Short(n.over_45))
      .Close('}');
  json.Key("turns").Open('[');
  for (const Turn& turn : n.turns) {
    json.Open('{');
    AngleReading(json, "turn_deg", turn.turn, turn.sd);
    json.Member("at_mm", Short(turn.at.millimetres())).Close('}');
  }
  json.Close(']').Key("places_mm").Open('[');
  for (const PlaceOnCourse& place : n.places) Vector(json, place.at);
  json.Close(']').Key("covariance_mm2").Open('[');
  for (const PlaceOnCourse& place : n.places) Six(json, place.covariance);
  json.Close(']');
  SeenLines(json, course.drawn, seen);
  Sentences(json, "warnings", course.warnings);
  json.Close('}');
}

std::string_view MethodWord(CapsMethod method) {
  switch (method) {
    case CapsMethod::kTwoViews:
      return "two views";
    case CapsMethod::kTwoViewsApart:
      return "two views, caps apart";
    case CapsMethod::kOneFrame:
      return "one frame";
    case CapsMethod::kSamePose:
      return "one pose";
  }
  return "";
}

void Occlusion(JsonText& json, const std::optional<OcclusionInSpace>& found, const Seen& seen) {
  json.Key("occlusion");
  if (!found) {
    json.Null();
    return;
  }
  json.Open('{').Member("method", std::string(MethodWord(found->method))).Member("method_text", found->method_text);
  LengthReading(json, "length_mm", found->length);
  json.Member("at_least", found->at_least)
      .Member("over_20_mm", Short(found->over_20_mm))
      .Member("course_seen", found->course_seen);
  json.Key("course");
  if (found->course)
    Course(json, *found->course, seen);
  else
    json.Null();
  json.Close('}');
}

// Where the source stands and the picture's corners lie in the patient's axes, drawn in towards the isocentre so that
// the planes of all views fit one scene.
void Plane(JsonText& json, const PairFrame& frame) {
  const View& v = frame.view;
  json.Key("source_mm");
  Vector(json, SourceOf(v) - v.patient_shift);
  json.Key("corners_mm").Open('[');
  for (const auto& [column, row] : {std::pair{0, 0}, std::pair{1, 0}, std::pair{1, 1}, std::pair{0, 1}}) {
    const Ray ray = RayOf(v, {column * (v.columns - 1.0), row * (v.rows - 1.0)});
    // The plane across the beam that lies 90 mm behind the isocentre.
    const double depth = v.source_to_isocentre.millimetres() + 90.0;
    Vector(json, ray.from + depth / Dot(ray.direction, AxesOf(v).beam) * ray.direction);
  }
  json.Close(']');
}

void Frames(JsonText& json, const PairFound& found, const Seen& seen) {
  json.Key("frames").Open('{');
  for (std::size_t i = 0; i < seen.frames.size(); ++i) {
    const PairFrame& frame = seen.frames[i];
    json.Key(frame.key).Open('{').Member("image", frame.image).Member("frame", frame.frame);
    json.Member("primary_deg", Short(frame.view.primary.degrees()))
        .Member("secondary_deg", Short(frame.view.secondary.degrees()));
    json.Member("columns", frame.view.columns).Member("rows", frame.view.rows);
    Plane(json, frame);
    if (i < found.poses.size()) {
      const FramePose& pose = found.poses[i];
      json.Key("change")
          .Open('{')
          .Member("primary_deg", Short(pose.primary.degrees()))
          .Member("secondary_deg", Short(pose.secondary.degrees()));
      json.Member("roll_deg", Short(pose.roll.degrees()))
          .Member("sid_mm", Short(pose.source_to_detector.millimetres()));
      json.Member("sod_mm", Short(pose.source_to_isocentre.millimetres())).Key("shift_mm");
      Vector(json, pose.shift);
      json.Key("shift_sd_mm");
      Vector(json, pose.shift_sd);
      json.Close('}');
    }
    json.Close('}');
  }
  json.Close('}');
}

void Marks(JsonText& json, const PairFound& found) {
  json.Key("marks").Open('[');
  for (const MarkInSpace& mark : found.marks) {
    json.Open('{').Member("name", mark.name).Key("at_mm");
    Vector(json, mark.at);
    json.Key("covariance_mm2");
    Six(json, mark.covariance);
    json.Member("stated_px", Short(mark.stated_px)).Member("fitted_px", Short(mark.fitted_px));
    json.Member("left_out", mark.left_out).Member("doubtful", mark.doubtful).Close('}');
  }
  json.Close(']');
}

}  // namespace

std::string PairJson(const PairFound& found, const Seen& seen) {
  JsonText json;
  json.Open('{')
      .Member("method", kPairMethod)
      .Member("in_space", found.in_space)
      .Member("between_deg", Short(found.between.degrees()));
  json.Member("narrow", found.narrow)
      .Member("stated_rms_px", Short(found.stated_rms_px))
      .Member("fitted_rms_px", Short(found.fitted_rms_px));
  json.Member("widened", Short(found.widened));
  Frames(json, found, seen);
  Occlusion(json, found.occlusion, seen);
  json.Key("paths").Open('[');
  for (const CourseInSpace& course : found.courses) Course(json, course, seen);
  json.Close(']');
  Marks(json, found);
  Sentences(json, "warnings", found.warnings);
  json.Key("sources").Open('[');
  for (const SourceId source : found.sources) json.Text(source.id);
  return json.Close(']').Close('}').Take();
}

std::string GuideJson(const GuideLine& guide) {
  JsonText json;
  json.Open('{').Key("from").Open('[').Number(Short(guide.from.column)).Number(Short(guide.from.row)).Close(']');
  json.Key("to").Open('[').Number(Short(guide.to.column)).Number(Short(guide.to.row)).Close(']');
  return json.Member("sd_px", Short(guide.sd_px)).Member("marks", guide.marks).Close('}').Take();
}

}  // namespace fairlead
