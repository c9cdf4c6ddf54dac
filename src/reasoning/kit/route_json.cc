// SPDX-License-Identifier: Apache-2.0
// Reading a route.
#include "reasoning/kit/route_json.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "reasoning/kit/question.h"
#include "reasoning/kit/size.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

// Thrown within this file only, and turned into a Result at its door: each member read can fail in the same way.
struct Refused {
  Error error;
};
[[noreturn]] void Refuse(std::string where, std::string what, std::string to_do) { throw Refused{{std::move(what), std::move(where), std::move(to_do)}}; }

double Finite(const Json& json, const std::string& where) {
  if (!json.is_number() || !std::isfinite(json.get<double>()) || std::abs(json.get<double>()) > 5000) {
    Refuse(where, "this is not a number that can be a length", "write it as 100 or {\"value\": 100, \"sd\": 2}");
  }
  return json.get<double>();
}

// 9, or {"value": 9, "sd": 1}, in the unit given.
void Read(Stretch& stretch, const Json& json, const std::string& where, double per_cm) {
  const bool reading = json.is_object();
  if (reading && !json.contains("value")) Refuse(where, "the reading has no value", "write it as {\"value\": 100, \"sd\": 2}");
  stretch.length = Length::Centimetres(Finite(reading ? json["value"] : json, where) * per_cm);
  stretch.sd = reading && json.contains("sd") ? Length::Centimetres(Finite(json["sd"], where + ".sd") * per_cm) : Length{};
  if (stretch.sd < Length{}) Refuse(where + ".sd", "a spread is not below 0", "leave it out if it is not known");
  stretch.typical = false;
}

// `NAME_cm` or `NAME_mm`; false if neither is there.
bool ReadLength(Stretch& stretch, const Json& json, const std::string& name, const std::string& where) {
  for (const auto& [unit, per_cm] : {std::pair{"_cm", 1.0}, std::pair{"_mm", 0.1}}) {
    const auto found = json.find(name + unit);
    if (found == json.end() || found->is_null()) continue;
    Read(stretch, *found, where + name + unit, per_cm);
    return true;
  }
  return false;
}

void Known(const Json& json, const std::string& where, std::initializer_list<const char*> names) {
  for (const auto& [key, value] : json.items()) {
    const bool known = key.starts_with('_') || std::ranges::any_of(names, [&k = key](const char* name) { return k == name; });
    if (known) continue;
    std::string all;
    for (const char* name : names) all += (all.empty() ? "" : ", ") + std::string(name);
    Refuse(where + key, "this member is not understood", "use " + all);
  }
}

std::string Text(const Json& json, const std::string& where) {
  if (!json.is_string()) Refuse(where, "this is not a text", "write a name in quotes");
  return json.get<std::string>();
}

class RouteReader {
 public:
  RouteReader(const Json& json, const Shelf& shelf) : json_(json), shelf_(shelf) {}

  RouteQuestion Run() {
    if (!json_.is_object()) Refuse("", "the route is not a JSON object", "write {\"guide_cm\": 100, \"segments\": [...], \"devices\": [...]}");
    Known(json_, "", {"title", "valve_cm", "guide", "guide_cm", "segments", "into_other_guide_cm", "devices", "externalise", "exchange",
                      "snare", "access", "extension", "wire_in_aorta"});
    RouteQuestion question;
    valve_ = TypicalValve();
    ReadLength(valve_, json_, "valve", "");
    valve_.name = "valve";
    guide_ = Guide(json_, "", "guide");
    if (json_.contains("segments")) question.route = TheRoute();
    if (json_.contains("devices")) Devices(question);
    if (json_.contains("externalise")) Externalise(question, Object("externalise"));
    if (json_.contains("exchange")) Exchange(question, Object("exchange"));
    if (json_.contains("snare")) Snare(question, Object("snare"));
    if (json_.contains("access")) Access(question, Object("access"));
    if (json_.contains("extension")) Extension(question, Object("extension"));
    if (json_.contains("wire_in_aorta")) question.wire_in_aorta = json_["wire_in_aorta"].is_boolean() && json_["wire_in_aorta"].get<bool>();
    const bool any = question.route || question.externalise || question.exchange || question.snare || question.access || question.tunnel;
    if (!any) Refuse("", "the route asks nothing", "give segments with devices, externalise, exchange, snare, access or extension");
    return question;
  }

 private:
  const Json& Object(const char* name) const {
    const Json& found = json_[name];
    if (!found.is_object()) Refuse(name, "this is not an object", "see docs/methods-kit.md");
    return found;
  }

  const Device& Named(const std::string& name, const std::string& where) const {
    if (const Device* device = FindDevice(shelf_, name)) {
      if (!device->usable) Refuse(where, fmt::format("the length of '{}' is not on the shelf's card", device->name), "enter usable_cm");
      return *device;
    }
    std::string names;
    for (const std::string& near : NamesLike(shelf_, name)) names += (names.empty() ? "" : ", ") + near;
    Refuse(where, fmt::format("the shelf has no '{}'", name), "give usable_cm, or a name such as " + names);
  }

  std::optional<Stretch> Guide(const Json& json, const std::string& where, const std::string& name) const {
    Stretch guide{"guide", {}, {}, false};
    if (json.contains(name)) {
      const Device& device = Named(Text(json[name], where + name), where + name);
      return Stretch{device.name, *device.usable, {}, false};
    }
    if (!ReadLength(guide, json, name, where)) return std::nullopt;
    if (guide.length <= Length{} || guide.length > Length::Centimetres(200)) Refuse(where + name + "_cm", "a guide is 1 to 200 cm long", "give the real length, also of a cut one");
    return guide;
  }

  Stretch NeedGuide(const Json& json, const std::string& where, const std::string& name) const {
    const auto guide = Guide(json, where, name);
    if (guide) return *guide;
    if (guide_) return *guide_;
    Refuse(where + name + "_cm", "the guide's length is missing", "enter it: a cut guide has its own");
  }

  DeviceRoute TheRoute() const {
    DeviceRoute route;
    route.valve = valve_;
    route.guide = NeedGuide(json_, "", "guide");
    if (!json_["segments"].is_array()) Refuse("segments", "this is not a list", "write [{\"name\": \"left main\", \"length_cm\": 1}]");
    for (const Json& each : json_["segments"]) route.segments.push_back(Segment(each, fmt::format("segments[{}].", route.segments.size())));
    Stretch inside;
    if (ReadLength(inside, json_, "into_other_guide", "")) route.inside_other = inside.length;
    return route;
  }

  Stretch Segment(const Json& json, const std::string& where) const {
    if (json.is_string()) return Usual(json.get<std::string>(), where);
    if (!json.is_object() || !json.contains("name")) Refuse(where, "a segment has a name", "write {\"name\": \"septal channel\", \"length_cm\": 7}");
    Known(json, where, {"name", "length_cm", "length_mm", "sd_cm", "sd_mm", "from"});
    Stretch segment{Text(json["name"], where + "name"), {}, {}, false};
    if (!ReadLength(segment, json, "length", where)) return Usual(segment.name, where);
    Stretch sd;
    if (ReadLength(sd, json, "sd", where)) segment.sd = sd.length;
    if (segment.sd < Length{}) Refuse(where + "sd_cm", "a spread is not below 0", "leave it out if it is not known");
    if (segment.length < Length{}) Refuse(where + "length_cm", "a segment is not shorter than 0", "leave out what is not passed");
    if (json.contains("from") && Text(json["from"], where + "from") == "one view") segment = FromOneView(segment);
    return segment;
  }

  static Stretch Usual(const std::string& name, const std::string& where) {
    if (const TypicalStretch* row = FindTypical(name)) return TypicalOf(*row);
    std::string names;
    for (const TypicalStretch& row : TypicalStretches()) names += (names.empty() ? "" : ", ") + std::string(row.name);
    Refuse(where + "length_cm", fmt::format("the length of '{}' is missing and none is usual", name), "measure it; usual lengths are known for " + names);
  }

  void Devices(RouteQuestion& question) const {
    if (!json_["devices"].is_array()) Refuse("devices", "this is not a list", "write [\"MC-A 135\", {\"name\": \"wire\", \"usable_cm\": 190}]");
    for (const Json& each : json_["devices"]) {
      const std::string where = fmt::format("devices[{}].", question.devices.size());
      const NamedLength device = Item(each, where);
      Stretch beyond;
      if (each.is_object()) ReadLength(beyond, each, "beyond", where);
      question.devices.push_back({device.name, device.length, beyond.length});
    }
    if (!question.route && !question.devices.empty()) Refuse("segments", "devices are given but no route", "give the segments from the guide's tip on");
  }

  // A name of the shelf, a number of centimetres, or an object with its own length.
  NamedLength Item(const Json& json, const std::string& where) const {
    if (json.is_string()) { const Device& device = Named(json.get<std::string>(), where); return {device.name, *device.usable}; }
    if (json.is_number()) return {fmt::format("{} cm", Finite(json, where)), Length::Centimetres(Finite(json, where))};
    if (!json.is_object()) Refuse(where, "this is no device", "write a name of the shelf, or {\"name\": ..., \"usable_cm\": ...}");
    Known(json, where, {"name", "usable_cm", "usable_mm", "beyond_cm", "beyond_mm", "class"});
    const std::string name = json.contains("name") ? Text(json["name"], where + "name") : "device";
    Stretch usable;
    if (!ReadLength(usable, json, "usable", where)) { const Device& device = Named(name, where); return {device.name, *device.usable}; }
    if (usable.length <= Length{}) Refuse(where + "usable_cm", "a device is longer than 0", "enter the usable length that is printed");
    return {name, usable.length};
  }

  Length Need(const Json& json, const std::string& name, const std::string& where) const {
    if (json.contains(name)) return Item(json[name], where + name).length;  // a name of the shelf
    Stretch length;
    if (!ReadLength(length, json, name, where)) Refuse(where + name + "_cm", "this length is missing", "enter it");
    return length.length;
  }

  Stretch ValveOf(const Json& json, const std::string& where, const std::string& name) const {
    Stretch valve = valve_;
    if (ReadLength(valve, json, name, where)) valve.name = "valve";
    return valve;
  }

  void Externalise(RouteQuestion& question, const Json& json) const {
    const std::string where = "externalise.";
    Known(json, where, {"microcatheter", "microcatheter_cm", "antegrade_guide", "antegrade_guide_cm", "antegrade_valve_cm", "wires", "gear"});
    Externalising ask;
    ask.microcatheter = Need(json, "microcatheter", where);
    const auto guide = Guide(json, where, "antegrade_guide");
    if (!guide) Refuse(where + "antegrade_guide_cm", "the antegrade guide's length is missing", "enter it: a cut guide has its own");
    ask.other_guide = *guide;
    ask.other_valve = ValveOf(json, where, "antegrade_valve");
    const std::string gear = json.contains("gear") ? Text(json["gear"], where + "gear") : "rapid exchange";
    if (gear != "rapid exchange" && gear != "over the wire") Refuse(where + "gear", "this gear is not known", "say \"rapid exchange\" or \"over the wire\"");
    ask.over_the_wire = gear == "over the wire";
    question.externalise = ask;
    if (!json.contains("wires")) return;
    if (!json["wires"].is_array()) Refuse(where + "wires", "this is not a list", "write [300, \"GW-EX 340\"]");
    for (const Json& each : json["wires"]) question.wires.push_back(Item(each, fmt::format("{}wires[{}].", where, question.wires.size())));
  }

  void Exchange(RouteQuestion& question, const Json& json) const {
    const std::string where = "exchange.";
    Known(json, where, {"wire", "wire_cm", "microcatheter", "microcatheter_cm", "wire_at_cm", "microcatheter_at_cm", "extension", "extension_cm",
                        "monorail_cm", "guide", "guide_cm", "valve_cm", "trap_cm", "trap_mm"});
    Exchanging ask;
    ask.wire = Need(json, "wire", where);
    ask.microcatheter = Need(json, "microcatheter", where);
    ask.wire_at = Need(json, "wire_at", where);
    ask.microcatheter_at = Need(json, "microcatheter_at", where);
    if (ask.microcatheter_at > ask.wire_at) Refuse(where + "wire_at_cm", "the wire's tip lies inside the microcatheter", "give coordinates from the valve's mouth");
    if (json.contains("extension") || json.contains("extension_cm")) ask.extension = Need(json, "extension", where);
    Stretch length;
    if (ReadLength(length, json, "monorail", where)) ask.monorail = length.length;
    if (ReadLength(length, json, "trap", where)) ask.trap = length.length;
    ask.valve = ValveOf(json, where, "valve");
    ask.guide = NeedGuide(json, where, "guide");
    question.exchange = ask;
  }

  void Snare(RouteQuestion& question, const Json& json) const {
    const std::string where = "snare.";
    Known(json, where, {"snare", "snare_cm", "loop_mm", "vessel_mm"});
    SnareQuestion ask;
    ask.snare = Need(json, "snare", where);
    ask.name = json.contains("snare") && json["snare"].is_string() ? json["snare"].get<std::string>() : "snare";
    if (const Device* device = FindDevice(shelf_, ask.name)) ask.loop = device->nominal;
    Stretch length;
    if (ReadLength(length, json, "loop", where)) ask.loop = length.length;
    if (ReadLength(length, json, "vessel", where)) ask.vessel = length.length;
    question.snare = ask;
    if (!guide_) Refuse("guide_cm", "the guide's length is missing", "enter the guide that the snare goes through");
    if (!question.route) { question.route = DeviceRoute{valve_, *guide_, {}, {}}; }
  }

  void Access(RouteQuestion& question, const Json& json) const {
    Known(json, "access.", {"path_cm", "path_mm"});
    Stretch path{"access to ostium", {}, {}, false};
    if (!ReadLength(path, json, "path", "access.")) Refuse("access.path_cm", "the path to the ostium is missing", "measure it with the diagnostic catheter");
    question.access = path;
    if (!question.route) question.route = DeviceRoute{valve_, NeedGuide(json_, "", "guide"), {}, {}};
  }

  void Extension(RouteQuestion& question, const Json& json) const {
    Known(json, "extension.", {"tunnel_cm", "tunnel_mm", "wanted_cm", "wanted_mm"});
    question.tunnel = Need(json, "tunnel", "extension.");
    question.wanted_depth = Need(json, "wanted", "extension.");
  }

  const Json& json_;
  const Shelf& shelf_;
  Stretch valve_;
  std::optional<Stretch> guide_;
};

}  // namespace

Result<RouteQuestion> RouteFromJson(std::string_view text, const Shelf& shelf) {
  const Json json = Json::parse(text, nullptr, false);
  if (json.is_discarded()) return Error{"this is not JSON", "", "look for a missing comma or quote"};
  try {
    return RouteReader(json, shelf).Run();
  } catch (const Refused& refused) {
    return refused.error;
  }
}

}  // namespace fairlead
