// SPDX-License-Identifier: Apache-2.0
// Trees and the gantry's record from JSON.
#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>

#include "casebook/json_depth.h"
#include "reasoning/views/gantry_reach.h"
#include "reasoning/views/tree.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;

constexpr std::size_t kMostBytes = std::size_t{8} << 20, kMostPoints = 50'000, kMostZones = 100;
constexpr int kDeepest = 8;
constexpr double kFarthest = 500.0, kWidest = 20.0, kUsualRadius = 1.0;  // mm; the last is chosen

Error Bad(std::string what, std::string where) { return {std::move(what), std::move(where), "see docs/methods-views.md"}; }

const Json* Member(const Json& json, std::initializer_list<const char*> names) {
  if (!json.is_object()) return nullptr;
  for (const char* name : names) {
    if (const auto at = json.find(name); at != json.end() && !at->is_null()) return &*at;
  }
  return nullptr;
}

std::optional<double> Number(const Json* json, double low, double high) {
  if (json == nullptr || !json->is_number()) return std::nullopt;
  const double value = json->get<double>();
  return value >= low && value <= high ? std::optional(value) : std::nullopt;
}

std::string TextIn(const Json* json) {
  if (json == nullptr || !json->is_string()) return {};
  return json->get<std::string>().substr(0, 64);
}

class TreeReader {
 public:
  Result<VesselTree> Read(const Json& json) {
    if (!json.is_object()) return Bad("this is no object", "tree");
    if (const Json* model = Member(json, {"model"})) return FromModel(*model);
    if (const Json* measured = Member(json, {"measured"})) tree_.measured = measured->is_boolean() && measured->get<bool>();
    if (const Json* vessels = Member(json, {"vessels", "segments", "neighbours"})) {
      if (!vessels->is_array()) return Bad("\"vessels\" is no list", "tree");
      for (const Json& vessel : *vessels) {
        auto tube = TubeFrom(vessel, fmt::format("vessels[{}]", tree_.vessels.size()));
        if (!tube) return tube.error();
        if (tube->name.empty()) tube->name = fmt::format("vessel {}", tree_.vessels.size() + 1);
        tree_.vessels.push_back(std::move(*tube));
      }
    }
    if (Status taken = TakeTarget(Member(json, {"target", "segment"})); !taken) return taken.error();
    if (Status taken = TakeCollateral(Member(json, {"collateral"})); !taken) return taken.error();
    return tree_;
  }

 private:
  static Result<VesselTree> FromModel(const Json& model) {
    const auto from = Number(Member(model, {"from"}), 0.0, 1.0), to = Number(Member(model, {"to"}), 0.0, 1.0);
    return ModelTree(TextIn(Member(model, {"vessel"})), from.value_or(0.2), to.value_or(0.5));
  }

  // [x, y, z], [x, y, z, radius] or {"x_mm", "y_mm", "z_mm", "radius_mm"}.
  Status AddPoint(const Json& json, const std::string& where, Tube& tube, bool& own_radius) {
    std::array<std::optional<double>, 4> values;
    if (json.is_array() && (json.size() == 3 || json.size() == 4)) {
      for (std::size_t i = 0; i < json.size(); ++i) values[i] = Number(&json[i], -kFarthest, kFarthest);
      if (json.size() == 4 && !values[3]) return Bad("a radius is no number", where);
    } else if (json.is_object()) {
      values = {Number(Member(json, {"x_mm", "x"}), -kFarthest, kFarthest), Number(Member(json, {"y_mm", "y"}), -kFarthest, kFarthest),
                Number(Member(json, {"z_mm", "z"}), -kFarthest, kFarthest), Number(Member(json, {"radius_mm", "r"}), 0.0, kWidest)};
    }
    if (!values[0] || !values[1] || !values[2]) return Bad("a point is not three numbers within 500 mm of the isocentre", where);
    if (++points_ > kMostPoints) return Bad("there are more than 50,000 points", "tree");
    tube.course.push_back({*values[0], *values[1], *values[2]});
    own_radius = own_radius || values[3].has_value();
    tube.radius.push_back(std::clamp(values[3].value_or(kUsualRadius), 0.0, kWidest));
    return Done{};
  }

  static Status TakeRadius(const Json& json, const std::string& where, Tube& tube) {
    const Json* radius = Member(json, {"radius_mm", "radii_mm", "diameter_mm"});
    if (radius == nullptr) return Done{};
    const double times = Member(json, {"radius_mm", "radii_mm"}) == nullptr ? 0.5 : 1.0;
    if (const auto all = Number(radius, 0.0, 2 * kWidest)) {
      std::ranges::fill(tube.radius, times * *all);
      return Done{};
    }
    if (!radius->is_array() || radius->size() != tube.course.size()) return Bad("the radius is neither a number nor one number for each point", where);
    for (std::size_t i = 0; i < radius->size(); ++i) {
      const auto value = Number(&(*radius)[i], 0.0, 2 * kWidest);
      if (!value) return Bad("a radius is no number from 0 to 20 mm", where);
      tube.radius[i] = times * *value;
    }
    return Done{};
  }

  Result<Tube> TubeFrom(const Json& json, const std::string& where) {
    const Json* points = json.is_array() ? &json : Member(json, {"points", "course", "centreline"});
    if (points == nullptr || !points->is_array()) return Bad("there is no list of points", where);
    Tube tube;
    tube.name = TextIn(Member(json, {"name", "vessel", "id"}));
    bool own_radius = false;
    for (const Json& point : *points) {
      if (Status added = AddPoint(point, where, tube, own_radius); !added) return added.error();
    }
    if (tube.course.size() < 2) return Bad("a course needs at least two points", where);
    if (!own_radius) {
      if (Status taken = TakeRadius(json, where, tube); !taken) return taken.error();
    }
    return tube;
  }

  const Tube* Named(const std::string& name) const {
    const auto tube = std::ranges::find(tree_.vessels, name, &Tube::name);
    return tube == tree_.vessels.end() ? nullptr : &*tube;
  }

  // Points of the vessel between two distances along it, with the ends put in between.
  void Cut(const Tube& tube, double from, double to) {
    double along = 0.0;
    const auto put = [&](Vec3 at, double radius) {
      tree_.target.push_back(at);
      tree_.target_radius.push_back(radius);
    };
    for (std::size_t i = 1; i < tube.course.size(); ++i) {
      const Vec3 a = tube.course[i - 1], b = tube.course[i];
      const double gap = Norm(b - a), before = along;
      along += gap;
      if (!(gap > 0.0) || along < from || before > to) continue;
      const double t0 = std::max(0.0, (from - before) / gap), t1 = std::min(1.0, (to - before) / gap);
      if (tree_.target.empty()) put(a + t0 * (b - a), tube.radius[i - 1]);
      put(a + t1 * (b - a), tube.radius[i]);
    }
  }

  Status TakeTarget(const Json* target) {
    if (target == nullptr) {
      if (tree_.vessels.size() != 1) return Bad("there is no target", "tree: target");
      Cut(tree_.vessels.front(), 0.0, LengthOf(tree_.vessels.front().course));
      tree_.target_name = tree_.vessels.front().name;
    } else if (target->is_array() || Member(*target, {"points", "course"}) != nullptr) {
      auto tube = TubeFrom(*target, "target");
      if (!tube) return tube.error();
      tree_.target = std::move(tube->course);
      tree_.target_radius = std::move(tube->radius);
      tree_.target_name = tube->name.empty() ? "target" : tube->name;
    } else {
      const std::string name = target->is_string() ? TextIn(target) : TextIn(Member(*target, {"vessel", "name"}));
      const Tube* tube = Named(name);
      if (tube == nullptr) return Bad("the target names no vessel of the tree", "target: " + (name.empty() ? "no name" : name));
      const auto from = Number(Member(*target, {"from_mm"}), 0.0, 1e4), to = Number(Member(*target, {"to_mm"}), 0.0, 1e4);
      Cut(*tube, from.value_or(0.0), to.value_or(LengthOf(tube->course)));
      tree_.target_name = from || to ? fmt::format("{}, {:.0f} to {:.0f} mm", name, from.value_or(0.0), to.value_or(LengthOf(tube->course))) : name;
    }
    if (tree_.target.size() < 2 || !(LengthOf(tree_.target) > 0.0)) return Bad("the target has no length", "target");
    return Done{};
  }

  Status TakeCollateral(const Json* collateral) {
    if (collateral == nullptr) return Done{};
    if (collateral->is_array() || Member(*collateral, {"points", "course"}) != nullptr) {
      auto tube = TubeFrom(*collateral, "collateral");
      if (!tube) return tube.error();
      tree_.collateral = std::move(tube->course);
      tree_.collateral_name = tube->name.empty() ? "collateral" : tube->name;
      return Done{};
    }
    const std::string name = collateral->is_string() ? TextIn(collateral) : TextIn(Member(*collateral, {"vessel", "name"}));
    const Tube* tube = Named(name);
    if (tube == nullptr) return Bad("the collateral names no vessel of the tree", "collateral: " + (name.empty() ? "no name" : name));
    tree_.collateral = tube->course;
    tree_.collateral_name = name;
    return Done{};
  }

  VesselTree tree_;
  std::size_t points_ = 0;
};

Result<Json> Parsed(std::string_view text, std::size_t most, const char* where) {
  if (text.size() > most) return Bad("the text is too large", where);
  if (NestsDeeper(text, kDeepest)) return Bad("the text nests deeper than 8 levels", where);
  Json json = Json::parse(text, nullptr, false);
  if (json.is_discarded()) return Bad("this is not JSON", where);
  return json;
}

bool TakeRange(const Json& json, const char* name, double most, double& from, double& to) {
  const Json* range = Member(json, {name});
  if (range == nullptr) return true;
  if (!range->is_array() || range->size() != 2) return false;
  const auto low = Number(&(*range)[0], -most, most), high = Number(&(*range)[1], -most, most);
  if (!low || !high || *low > *high) return false;
  from = *low;
  to = *high;
  return true;
}

}  // namespace

Result<VesselTree> ParseTree(std::string_view text) {
  auto json = Parsed(text, kMostBytes, "tree");
  if (!json) return json.error();
  return TreeReader().Read(*json);
}

Result<GantryReach> GantryFromJson(std::string_view text) {
  auto json = Parsed(text, std::size_t{1} << 20, "gantry");
  if (!json) return json.error();
  if (!json->is_object()) return Bad("this is no object", "gantry");
  GantryReach gantry;
  gantry.named = "the lab's own record";
  if (!TakeRange(*json, "primary_deg", 180.0, gantry.primary_from, gantry.primary_to)) return Bad("primary_deg is no range of degrees", "gantry");
  if (!TakeRange(*json, "secondary_deg", 90.0, gantry.secondary_from, gantry.secondary_to)) return Bad("secondary_deg is no range of degrees", "gantry");
  if (const auto lost = Number(Member(*json, {"tilt_lost_beyond_deg"}), 0.0, 360.0)) gantry.tilt_lost_beyond = *lost;
  if (TextIn(Member(*json, {"operator"})) == "left") gantry.operator_side = "left";
  const Json* zones = Member(*json, {"forbidden"});
  if (zones == nullptr) return gantry;
  if (!zones->is_array() || zones->size() > kMostZones) return Bad("\"forbidden\" is no list of at most 100 zones", "gantry");
  for (const Json& each : *zones) {
    ForbiddenZone zone{-180.0, 180.0, -90.0, 90.0, TextIn(Member(each, {"why"}))};
    if (!each.is_object() || !TakeRange(each, "primary_deg", 180.0, zone.primary_from, zone.primary_to) || !TakeRange(each, "secondary_deg", 90.0, zone.secondary_from, zone.secondary_to)) {
      return Bad("a forbidden zone is no pair of ranges", "gantry");
    }
    gantry.zones.push_back(std::move(zone));
  }
  return gantry;
}

}  // namespace fairlead
