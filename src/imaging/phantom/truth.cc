// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/truth.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <string_view>

#include "geometry/curve.h"
#include "geometry/foreshortening.h"

namespace fairlead {
namespace {

// JSON text, four decimals: finer than any measurement here, and the same on every processor.
std::string Num(double value) {
  std::array<char, 40> text{};
  const double rounded = std::floor(value * 1e4 + 0.5) / 1e4 + 0.0;
  const auto end = std::to_chars(text.data(), text.data() + text.size(), rounded).ptr;
  return {text.data(), end};
}
std::string Str(std::string_view text) { return "\"" + std::string(text) + "\""; }  // our own names: nothing to escape
std::string Vec(Vec3 v) { return "[" + Num(v.x) + ", " + Num(v.y) + ", " + Num(v.z) + "]"; }
std::string Px(ImagePoint p) { return "[" + Num(p.column) + ", " + Num(p.row) + "]"; }

template <typename T, typename F>
std::string List(const std::vector<T>& items, F text) {
  std::string out = "[";
  for (std::size_t i = 0; i < items.size(); ++i) out += (i > 0 ? ", " : "") + text(items[i]);
  return out + "]";
}

std::string_view OstiumName(Injected ostium) {
  switch (ostium) {
    case Injected::kLeft: return "left";
    case Injected::kRight: return "right";
    case Injected::kGraft: return "graft";
  }
  return "";
}
std::string_view CapName(CapShape shape) { return shape == CapShape::kTapered ? "tapered" : "blunt"; }

std::vector<Vec3> CourseOf(const Vessel& vessel) {
  std::vector<Vec3> course;
  for (const Node& node : vessel.nodes) course.push_back(node.at);
  return course;
}

std::string VesselJson(const Vessel& vessel) {
  constexpr std::array<std::string_view, 3> kKinds{"artery", "collateral", "graft"};
  return "{\"name\": " + Str(vessel.name) + ", \"kind\": " + Str(kKinds[static_cast<std::size_t>(vessel.kind)]) +
         ", \"length_mm\": " + Num(LengthOf(CourseOf(vessel)).millimetres()) +
         ",\n   \"centreline_mm\": " + List(vessel.nodes, [](const Node& n) { return Vec(n.at); }) +
         ",\n   \"radius_mm\": " + List(vessel.nodes, [](const Node& n) { return Num(n.radius); }) + "}";
}

std::string OcclusionJson(const Scene& scene) {
  if (!scene.occlusion) return "null";
  const Occlusion& o = *scene.occlusion;
  const std::vector<Vec3> course = OcclusionCourse(scene);
  const Bend bend = LargestBend(course);
  const std::string branch = o.side_branch < 0 ? "null" : Str(scene.vessels[static_cast<std::size_t>(o.side_branch)].name);
  return "{\"vessel\": " + Str(scene.vessels[static_cast<std::size_t>(o.vessel)].name) +
         ", \"length_mm\": " + Num(LengthOf(course).millimetres()) + ", \"chord_mm\": " + Num(Norm(course.back() - course.front())) +
         ", \"largest_bend_deg\": " + Num(bend.turn.degrees()) + ", \"proximal_cap\": " + Str(CapName(o.proximal_cap)) +
         ", \"distal_cap\": " + Str(CapName(o.distal_cap)) + ", \"side_branch\": " + branch +
         ", \"proximal_cap_mm\": " + Vec(course.front()) + ", \"distal_cap_mm\": " + Vec(course.back()) +
         ",\n   \"course_mm\": " + List(course, Vec) + "}";
}

std::string CapsJson(const Scene& scene, const RunPlan& plan) {
  if (!scene.occlusion) return "[]";
  const auto& nodes = scene.vessels[static_cast<std::size_t>(scene.occlusion->vessel)].nodes;
  const Projector project(plan.view);
  std::vector<int> frames;
  for (int f = 0; f < plan.frames; ++f) frames.push_back(f);
  return List(frames, [&](int f) {
    const Moment moment = MomentAt(scene, plan.frame_time * f, plan.grade != Grade::kClean);
    return "{\"frame\": " + std::to_string(f) + ", \"proximal_px\": " + Px(project(PlaceOf(nodes[scene.occlusion->proximal], moment)).at) +
           ", \"distal_px\": " + Px(project(PlaceOf(nodes[scene.occlusion->distal], moment)).at) + "}";
  });
}

std::string CatheterJson(const GuideCatheter& catheter, const RunPlan& plan) {
  const Projector project(plan.view);
  return "{\"ostium\": " + Str(OstiumName(catheter.ostium)) + ", \"french\": " + Num(catheter.french) +
         ", \"outer_mm\": " + Num(2.0 * catheter.course.front().radius) +
         ",\n     \"width_px\": " + List(catheter.course, [&](const Node& n) { return Num(2.0 * n.radius * project(n.at).pixels_per_mm); }) +
         ",\n     \"path_px\": " + List(catheter.course, [&](const Node& n) { return Px(project(n.at).at); }) + "}";
}

std::string RunJsonOf(const Scene& scene, const RunPlan& plan, std::size_t number) {
  const View& view = plan.view;
  const Projector project(view);
  const std::vector<Vec3> course = OcclusionCourse(scene);
  std::string out = "{\"file\": \"run-" + std::to_string(number) + ".dcm\", \"grade\": " + Str(GradeName(plan.grade)) +
                    ", \"primary_deg\": " + Num(view.primary.degrees()) + ", \"secondary_deg\": " + Num(view.secondary.degrees()) +
                    ", \"sid_mm\": " + Num(view.source_to_detector.millimetres()) + ", \"sod_mm\": " + Num(view.source_to_isocentre.millimetres()) +
                    ", \"detector_spacing_mm\": " + Num(view.column_spacing.millimetres()) + ", \"rows\": " + std::to_string(view.rows) +
                    ", \"columns\": " + std::to_string(view.columns) + ", \"frames\": " + std::to_string(plan.frames) +
                    ", \"frame_ms\": " + Num(plan.frame_time.milliseconds()) + ", \"bits_stored\": " + std::to_string(plan.bits_stored) +
                    ", \"noise_seed\": " + std::to_string(plan.seed);
  out += ",\n   \"injections\": " + List(plan.injections, [](const Injection& i) {
    return "{\"ostium\": " + Str(OstiumName(i.ostium)) + ", \"start_s\": " + Num(i.start.seconds()) + ", \"length_s\": " + Num(i.length.seconds()) + "}";
  });
  if (!course.empty()) out += ",\n   \"occlusion_foreshortening\": " + Num(Foreshortening(view, course));
  out += ",\n   \"vessels\": " + List(scene.vessels, [&](const Vessel& v) {
    return "{\"name\": " + Str(v.name) + ", \"foreshortening\": " + Num(Foreshortening(view, CourseOf(v))) +
           ", \"path_px\": " + List(v.nodes, [&](const Node& n) { return Px(project(n.at).at); }) + "}";
  });
  out += ",\n   \"catheters\": " + List(scene.catheters, [&](const GuideCatheter& c) { return CatheterJson(c, plan); });
  return out + ",\n   \"caps\": " + CapsJson(scene, plan) + "}";
}

}  // namespace

std::string TruthJson(const Scene& scene, std::span<const RunPlan> plans) {
  std::string out = "{\"invented\": true, \"scene\": " + Str(scene.name) + ", \"seed\": " + std::to_string(scene.seed) +
                    ",\n \"frame\": \"millimetres, patient's axes LPS, isocentre = origin, end of diastole and of expiration; pixels "
                    "0-based, column then row, centres at integers\"" +
                    ",\n \"heart_rate_per_min\": " + Num(scene.heart_rate) + ",\n \"occlusion\": " + OcclusionJson(scene);
  out += ",\n \"vessels\": " + List(scene.vessels, VesselJson);
  out += ",\n \"runs\": [";
  for (std::size_t i = 0; i < plans.size(); ++i) out += (i > 0 ? ",\n  " : "\n  ") + RunJsonOf(scene, plans[i], i + 1);
  return out + "]}\n";
}

}  // namespace fairlead
