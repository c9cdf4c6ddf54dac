// SPDX-License-Identifier: Apache-2.0
// Shelf, import and label as JSON.
#include "reasoning/kit/kit_json.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <iterator>
#include <nlohmann/json.hpp>

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

struct SizeMember {
  const char* name;
  std::optional<Length> Device::*size;
  bool centimetres;
};
constexpr auto kSizes = std::to_array<SizeMember>({{"od_prox_mm", &Device::od_prox, false}, {"od_dist_mm", &Device::od_dist, false},
    {"profile_mm", &Device::profile, false}, {"minor_mm", &Device::minor, false}, {"lumen_mm", &Device::lumen, false},
    {"collar_mm", &Device::collar, false}, {"tip_od_mm", &Device::tip_od, false}, {"usable_cm", &Device::usable, true},
    {"seg_cm", &Device::segment, true}, {"offset_mm", &Device::offset, false}, {"nom_diam_mm", &Device::nominal, false},
    {"nom_len_mm", &Device::nominal_length, false}, {"need_lumen_mm", &Device::need_lumen, false}, {"wire_mm", &Device::wire, false},
    {"tip_mm", &Device::tip, false}});

struct TextMember {
  const char* name;
  std::string Device::*text;
};
constexpr auto kTexts = std::to_array<TextMember>({{"id", &Device::id}, {"name", &Device::name}, {"label", &Device::label},
                                                   {"coating", &Device::coating}, {"note", &Device::note}, {"gtin", &Device::gtin}});

double Rounded(double value) { return std::strtod(fmt::format("{:.10g}", value).c_str(), nullptr); }

Json DeviceOf(const Device& device) {
  Json json = {{"id", device.id}, {"name", device.name}, {"class", WordOf(device.kind)}, {"label", device.label}};
  for (const SizeMember& member : kSizes) {
    const auto& size = device.*member.size;
    if (size) json[member.name] = Rounded(member.centimetres ? size->millimetres() / 10 : size->millimetres());
  }
  if (device.tip_load_gf) json["tip_load_gf"] = *device.tip_load_gf;
  json["rounding_mm"] = Rounded(device.rounding.millimetres());
  for (const TextMember& member : kTexts) {
    if (!(device.*member.text).empty() && !json.contains(member.name)) json[member.name] = device.*member.text;
  }
  json["stock"] = Json::array();
  for (const Stock& stock : device.stock) {
    json["stock"].push_back({{"lot", stock.lot}, {"expires", stock.expires}, {"count", stock.count}, {"place", stock.place}});
  }
  return json;
}

Json Shown(const Device& device, std::string_view today) {
  Json json = DeviceOf(device);
  json["title"] = TitleOf(device.kind);
  json["invented"] = device.invented;
  json["count"] = UsableCount(device, today);
  json["expired"] = ExpiredCount(device, today);
  json["used"] = device.used;
  json["short_by"] = device.short_by;
  return json;
}

std::string TextIn(const Json& json, const char* name) {
  const auto found = json.find(name);
  return found != json.end() && found->is_string() ? found->get<std::string>() : std::string();
}

Error Bad(std::size_t number, std::string what) {
  return {std::move(what), fmt::format("shelf: devices[{}]", number), "mend the shelf's text, or import the list again"};
}

Result<Device> DeviceFrom(const Json& json, std::size_t number) {
  if (!json.is_object()) return Bad(number, "this is not an object");
  Device device;
  for (const TextMember& member : kTexts) device.*member.text = TextIn(json, member.name);
  const auto kind = ClassOf(TextIn(json, "class"));
  if (!kind) return Bad(number, "there is no such class");
  if (device.name.empty()) return Bad(number, "the device has no name");
  device.kind = *kind;
  for (const SizeMember& member : kSizes) {
    const auto found = json.find(member.name);
    if (found == json.end() || found->is_null()) continue;
    if (!found->is_number() || !(found->get<double>() > 0) || found->get<double>() > 5000) return Bad(number, fmt::format("{} is not a size", member.name));
    device.*member.size = member.centimetres ? Length::Centimetres(found->get<double>()) : Length::Millimetres(found->get<double>());
  }
  if (json.contains("tip_load_gf") && json["tip_load_gf"].is_number()) device.tip_load_gf = json["tip_load_gf"].get<double>();
  if (json.contains("rounding_mm") && json["rounding_mm"].is_number()) device.rounding = Length::Millimetres(json["rounding_mm"].get<double>());
  if (const auto stock = json.find("stock"); stock != json.end() && stock->is_array()) {
    for (const Json& each : *stock) {
      const auto count = each.is_object() ? each.find("count") : each.end();
      if (!each.is_object() || count == each.end() || !count->is_number_integer()) return Bad(number, "a batch has no count");
      device.stock.push_back({TextIn(each, "lot"), TextIn(each, "expires"), count->get<int>(), TextIn(each, "place")});
    }
  }
  return device;
}

}  // namespace

std::string LabelJson(const Label& label) {
  Json json = {{"gtin", label.gtin}, {"lot", label.lot}, {"serial", label.serial}, {"expires", label.expires}, {"made", label.made}};
  for (const char* name : {"lot", "serial", "expires", "made"}) {
    if (json[name] == "") json[name] = nullptr;
  }
  json["expired"] = label.expires.empty() ? Json(nullptr) : Json(label.expired);
  json["elements"] = Json::array();
  for (const LabelElement& element : label.elements) {
    json["elements"].push_back({{"ai", element.ai}, {"title", element.title}, {"value", element.value}});
  }
  json["human_readable"] = HumanReadable(label);
  json["doubts"] = label.doubts;
  json["raw"] = label.raw;
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string ImportJson(const Import& import, std::string_view today, std::size_t most_devices) {
  Json json = {{"delimiter", std::string(1, import.delimiter)}, {"encoding", import.encoding}, {"lines", import.lines},
               {"taken", import.taken}, {"refused", import.refused}, {"to_look_at", import.looked_at},
               {"devices_found", import.shelf.devices.size()}};
  json["columns"] = Json::array();
  for (const ImportColumn& column : import.columns) {
    json["columns"].push_back({{"heading", column.heading}, {"field", column.field.empty() ? Json(nullptr) : Json(column.field)}, {"unit", column.unit}});
  }
  json["missing"] = import.missing;
  json["problems"] = Json::array();
  for (const ImportProblem& problem : import.problems) {
    json["problems"].push_back({{"line", problem.line}, {"column", problem.column}, {"what", problem.what}, {"to_do", problem.to_do}, {"refused", problem.refused}});
  }
  json["devices"] = Json::array();
  for (const Device& device : import.shelf.devices) {
    if (json["devices"].size() == most_devices) break;
    json["devices"].push_back(Shown(device, today));
  }
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string DeviceJson(const Device& device, std::string_view today) {
  return Shown(device, today).dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string DevicesJson(const Shelf& shelf, const std::vector<std::size_t>& which, std::string_view today) {
  Json json = {{"invented", shelf.invented}, {"today", today}, {"devices", Json::array()}};
  for (const std::size_t at : which) json["devices"].push_back(Shown(shelf.devices[at], today));
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string LeftJson(const ShelfLeft& left, const std::vector<std::size_t>& which, std::string_view today) {
  Json json = Json::parse(DevicesJson(left.shelf, which, today));
  json["provisional"] = Json::array();
  for (const Provisional& each : left.provisional) json["provisional"].push_back({{"gtin", each.gtin}, {"used", each.used}});
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string ShelfJson(const Shelf& shelf) {
  Json json = {{"invented", shelf.invented}, {"devices", Json::array()}};
  for (const Device& device : shelf.devices) json["devices"].push_back(DeviceOf(device));
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Result<Shelf> ShelfFromJson(std::string_view text) {
  const Json json = Json::parse(text, nullptr, false);
  if (!json.is_object() || !json.contains("devices") || !json["devices"].is_array()) {
    return Error{"the shelf's text has no list of devices", "shelf", "import the list again"};
  }
  Shelf shelf;
  shelf.invented = json.contains("invented") && json["invented"].is_boolean() && json["invented"].get<bool>();
  for (const Json& each : json["devices"]) {
    auto device = DeviceFrom(each, shelf.devices.size());
    if (!device.ok()) return device.error();
    device->invented = shelf.invented;
    shelf.devices.push_back(std::move(*device));
  }
  return shelf;
}

std::vector<std::string> ShelfParts(const Shelf& shelf, std::size_t most_bytes, std::string_view list) {
  std::vector<Json> parts(1, Json::array());
  std::size_t bytes = 0;
  for (const Device& device : shelf.devices) {
    Json json = DeviceOf(device);
    const std::size_t more = json.dump(-1, ' ', false, Json::error_handler_t::replace).size() + 1;
    if (bytes + more > most_bytes - 512 && !parts.back().empty()) { parts.push_back(Json::array()); bytes = 0; }
    parts.back().push_back(std::move(json));
    bytes += more;
  }
  std::vector<std::string> texts;
  for (Json& devices : parts) {
    const Json text = {{"invented", shelf.invented}, {"part", texts.size() + 1}, {"of", parts.size()}, {"list", list}, {"devices", std::move(devices)}};
    texts.push_back(text.dump(-1, ' ', false, Json::error_handler_t::replace));
  }
  return texts;
}

std::string ShelfPartName(std::size_t part) { return part == 0 ? "shelf" : fmt::format("shelf-{}", part + 1); }

std::size_t ShelfPartCount(std::string_view first_part) {
  const Json json = Json::parse(first_part, nullptr, false);
  const bool told = json.is_object() && json.contains("of") && json["of"].is_number_unsigned();
  return told ? std::clamp<std::size_t>(json["of"].get<std::size_t>(), 1, 256) : 1;
}

Result<Shelf> ShelfFromParts(const std::vector<std::string_view>& parts) {
  Shelf shelf;
  std::string list;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const Json json = Json::parse(parts[i], nullptr, false);
    const std::string mark = json.is_object() ? TextIn(json, "list") : std::string();
    if (i > 0 && mark != list) return Error{"the shelf's parts belong to different lists", ShelfPartName(i), "import the list again"};
    list = mark;
    auto part = ShelfFromJson(parts[i]);
    if (!part.ok()) return Within(ShelfPartName(i), part.error());
    shelf.invented = part->invented;
    std::ranges::move(part->devices, std::back_inserter(shelf.devices));
  }
  return shelf;
}

}  // namespace fairlead
