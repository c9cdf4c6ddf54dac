// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/skin_json.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <limits>
#include <nlohmann/json.hpp>
#include <set>

#include "casebook/json_depth.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;

constexpr std::size_t kMostBytes = std::size_t{16} << 20, kMostEvents = 100'000;
constexpr int kDeepest = 8;
constexpr double kHuge = 1e9;

// One object of the file: takes members by any of their names, remembers which were asked for, and keeps the first fault.
class Members {
 public:
  Members(const Json& object, std::string where) : object_(object), where_(std::move(where)) {
    if (!object.is_object()) fault_ = Error{"this is no object", where_, "write it as {\"name\": value, ...}"};
  }

  const Json* Find(std::initializer_list<const char*> names) {
    const Json* found = nullptr;
    for (const char* name : names) {
      asked_.insert(name);
      if (found == nullptr && object_.is_object()) {
        if (const auto at = object_.find(name); at != object_.end() && !at->is_null()) found = &*at, last_ = name;
      }
    }
    return found;
  }

  std::optional<double> Number(std::initializer_list<const char*> names, double low = -kHuge, double high = kHuge) {
    const Json* value = Find(names);
    if (value == nullptr) return std::nullopt;
    return Checked(*value, last_, low, high);
  }

  std::string Text(std::initializer_list<const char*> names) {
    const Json* value = Find(names);
    if (value == nullptr) return {};
    if (value->is_string() && value->get_ref<const std::string&>().size() <= 128) return value->get<std::string>();
    if (value->is_number_integer()) return std::to_string(value->get<std::int64_t>());
    Fail(last_ + " is no text of at most 128 letters");
    return {};
  }

  // A list of numbers, or one number that stands for all.
  std::vector<double> Numbers(std::initializer_list<const char*> names, std::size_t count, double low = -kHuge, double high = kHuge) {
    const Json* value = Find(names);
    if (value == nullptr) return {};
    std::vector<double> numbers;
    if (value->is_number() && count == 2) return {Checked(*value, last_, low, high), Checked(*value, last_, low, high)};
    if (value->is_array() && value->size() == count) {
      for (const Json& each : *value) numbers.push_back(Checked(each, last_, low, high));
      return numbers;
    }
    Fail(last_ + " is no list of " + std::to_string(count) + " numbers");
    return {};
  }

  void Fail(std::string what) {
    if (!fault_) fault_ = Error{std::move(what), where_, "see docs/methods-skin.md"};
  }
  const std::optional<Error>& fault() const { return fault_; }

  void Unknown(std::vector<std::string>& remarks) const {
    if (!object_.is_object()) return;
    for (const auto& [name, value] : object_.items()) {
      if (asked_.contains(name) || name.starts_with('_') || remarks.size() >= 32) continue;
      std::string shown = name.substr(0, 40);
      std::ranges::replace_if(shown, [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }, '?');
      remarks.push_back(where_ + ": \"" + shown + "\" is not known and was left out");
    }
  }

 private:
  double Checked(const Json& value, const std::string& name, double low, double high) {
    const double number = value.is_number() ? value.get<double>() : std::numeric_limits<double>::quiet_NaN();
    if (number >= low && number <= high) return number;
    Fail(name + (value.is_number() ? fmt::format(" is {:g}, which is not between {:g} and {:g}", number, low, high) : " is no number"));
    return low > 0.0 ? low : 0.0;
  }

  const Json& object_;
  std::string where_, last_;
  std::set<std::string, std::less<>> asked_;
  std::optional<Error> fault_;
};

using Names = std::initializer_list<const char*>;

std::optional<Length> Millimetres(Members& in, Names names, double low, double high) {
  const auto value = in.Number(names, low, high);
  return value ? std::optional(Length::Millimetres(*value)) : std::nullopt;
}

std::optional<Vec3> Point(Members& in, Names names) {
  const auto values = in.Numbers(names, 3, -5000, 5000);
  return values.size() == 3 ? std::optional(Vec3{values[0], values[1], values[2]}) : std::nullopt;
}

void ReadDose(Members& in, IrradiationEvent& event) {
  if (const auto gray = in.Number({"air_kerma_gy", "kerma_gy", "ka_r_gy", "kar_gy", "dose_rp_gy", "ak_gy"}, 0, 1000)) event.kerma = Kerma::Gray(*gray);
  if (const auto milli = in.Number({"air_kerma_mgy", "kerma_mgy", "ka_r_mgy"}, 0, 1e6)) event.kerma = Kerma::Milligray(*milli);
  if (const auto product = in.Number({"area_product_gycm2", "area_product_gy_cm2", "dap_gycm2", "dap_gy_cm2", "kap_gycm2"}, 0, 1e6)) event.area_product = AreaProduct::GraySquareCentimetres(*product);
  if (const auto product = in.Number({"area_product_gym2", "area_product_gy_m2", "dap_gym2", "dap_gy_m2", "kap_gym2"}, 0, 100)) event.area_product = AreaProduct::GraySquareMetres(*product);
  event.kilovolts = in.Number({"kv", "kvp", "kvp_kv", "tube_kv"}, 0, 1000);
  event.copper = Millimetres(in, {"copper_mm", "cu_mm", "filter_cu_mm"}, 0, 10);
  if (const auto seconds = in.Number({"duration_s"}, 0, 1e6)) event.duration = Duration::Seconds(*seconds);
  event.frames = in.Number({"frames", "pulses"}, 0, 1e7);
}

std::optional<GantryAngles> ReadAngles(Members& in, Names view, Names primary, Names secondary) {
  const std::string text = in.Text(view);
  const auto alpha = in.Number(primary, -720, 720), beta = in.Number(secondary, -90, 90);
  if (!text.empty()) {
    const auto parsed = ParseGantry(text);
    if (parsed.ok()) return *parsed;
    in.Fail(parsed.error().what);
    return std::nullopt;
  }
  if (!alpha && !beta) return std::nullopt;
  return GantryAngles{Wrapped(Angle::Degrees(alpha.value_or(0.0))), Angle::Degrees(beta.value_or(0.0))};
}

void ReadGeometry(Members& in, IrradiationEvent& event) {
  event.angles = ReadAngles(in, {"view"}, {"primary_deg", "primary_angle_deg", "alpha_deg"}, {"secondary_deg", "secondary_angle_deg", "beta_deg"});
  event.end_angles = ReadAngles(in, {"end_view"}, {"end_primary_deg"}, {"end_secondary_deg"});
  event.source_to_isocentre = Millimetres(in, {"sod_mm", "source_to_isocentre_mm"}, 0, 5000);
  event.source_to_detector = Millimetres(in, {"sid_mm", "source_to_detector_mm"}, 0, 5000);
  event.source_to_reference = Millimetres(in, {"reference_mm", "d_ref_mm", "source_to_reference_mm", "reference_distance_mm"}, 0, 5000);
  if (const auto sides = in.Numbers({"field_mm", "field_at_detector_mm", "collimated_field_mm"}, 2, 0, 1000); sides.size() == 2) {
    event.field_width = Length::Millimetres(sides[0]);
    event.field_height = Length::Millimetres(sides[1]);
  }
  if (auto width = Millimetres(in, {"field_width_mm", "collimated_width_mm", "width_mm"}, 0, 1000)) event.field_width = width;
  if (auto height = Millimetres(in, {"field_height_mm", "collimated_height_mm", "height_mm"}, 0, 1000)) event.field_height = height;
  if (const auto area = in.Number({"field_area_mm2"}, 0, 1e6)) event.field_area_mm2 = *area;
  if (const auto area = in.Number({"field_area_cm2"}, 0, 1e4)) event.field_area_mm2 = 100.0 * *area;
  event.table = Point(in, {"table_mm", "shift_mm", "patient_shift_mm"});
  event.table_end = Point(in, {"table_end_mm", "shift_end_mm"});
}

EventKind KindOf(std::string_view name) {
  for (const EventKind kind : {EventKind::kFluoroscopy, EventKind::kAcquisition, EventKind::kRotation}) {
    if (name == EventKindName(kind)) return kind;
  }
  if (name == "fluoro") return EventKind::kFluoroscopy;
  return name == "cine" ? EventKind::kAcquisition : EventKind::kUnknown;
}

Result<IrradiationEvent> ReadEvent(const Json& json, std::size_t index, std::vector<std::string>& remarks) {
  Members in(json, "events[" + std::to_string(index) + "]");
  IrradiationEvent event;
  event.id = in.Text({"id", "event", "uid"});
  if (event.id.empty()) event.id = std::to_string(index + 1);
  event.started = in.Text({"started", "at", "time"});
  event.kind = KindOf(in.Text({"kind", "type"}));
  const std::string plane = in.Text({"plane"});
  if (plane == "A" || plane == "B") event.plane = plane == "A" ? Plane::kA : Plane::kB;
  ReadDose(in, event);
  ReadGeometry(in, event);
  if (in.fault()) return *in.fault();
  in.Unknown(remarks);
  return event;
}

Status ReadTrunk(Members& in, SkinFile& file) {
  Body& body = file.settings.body;
  const std::string arms = in.Text({"arms"});
  if (!arms.empty() && arms != "up" && arms != "down") in.Fail("arms are neither \"up\" nor \"down\"");
  const auto height = in.Number({"height_cm"}, 0, 300), weight = in.Number({"weight_kg"}, 0, 1000);
  const auto width = in.Number({"half_width_mm", "a_mm"}, 50, 500), depth = in.Number({"half_depth_mm", "b_mm"}, 40, 400);
  if (in.fault()) return *in.fault();
  if (height && weight) {
    auto torso = TorsoOf({*height, *weight}, Arms::kUp);
    if (!torso) return torso.error();
    body.torso = *torso;
    body.size_known = true;
  }
  EllipticCylinder& trunk = body.torso.trunk;
  if (width) trunk.half_width = *width;
  if (depth) trunk.half_depth = *depth;
  body.size_known = body.size_known || (width && depth);
  if (const auto centre = in.Numbers({"centre_mm", "center_mm"}, 2, -300, 300); centre.size() == 2) trunk.centre = {centre[0], centre[1], 0.0};
  if (const auto x = in.Number({"centre_x_mm"}, -300, 300)) trunk.centre.x = *x;
  if (const auto y = in.Number({"centre_y_mm"}, -300, 300)) trunk.centre.y = *y;
  if (const auto length = in.Number({"half_length_mm"}, 50, 1000)) trunk.half_length = *length;
  if (arms == "down") body.torso.arms = ArmsBeside(trunk);
  if (in.fault()) return *in.fault();
  return Done{};
}

// A centre and a table top together give the pad; a table top alone lays the body on it.
Status ReadTable(Members& in, bool centre_stated, SkinFile& file) {
  Body& body = file.settings.body;
  TableTop& table = body.table;
  const auto top = in.Number({"top_below_isocentre_mm", "table_height_mm", "top_mm", "th_mm"}, -200, 600);
  if (const auto pad = in.Number({"pad_mm"}, 0, 150)) table.pad = *pad;
  if (const auto half = in.Number({"half_width_mm"}, 50, 600)) table.half_width = *half;
  if (const auto al = in.Number({"aluminium_mm", "al_mm"}, 0, 10)) table.aluminium = Length::Millimetres(*al);
  table.transmission = in.Number({"transmission", "t0"}, 0.01, 1.0);
  if (const auto scatter = in.Number({"forward_scatter", "fs"}, 0.5, 2.0)) table.forward_scatter = *scatter;
  if (in.fault()) return *in.fault();
  LayOnTable(body, centre_stated ? std::nullopt : top);
  if (top && centre_stated) {
    table.top_y = *top;
    table.pad = *top - body.torso.trunk.centre.y - body.torso.trunk.half_depth;
    body.table_known = true;
  }
  return Done{};
}

Status ReadSettings(Members& in, SkinFile& file) {
  if (const auto calibration = in.Number({"calibration", "cf"}, 0.2, 5.0)) {
    file.settings.calibration = *calibration;
    file.settings.calibrated = true;
  }
  file.settings.medium = in.Number({"medium_factor", "f"}, 0.8, 1.2);
  if (in.fault()) return *in.fault();
  static const Json kNone = Json::object();
  const Json* trunk = in.Find({"body", "patient"});
  Members body(trunk != nullptr ? *trunk : kNone, "body");
  if (body.fault()) return *body.fault();
  if (Status read = ReadTrunk(body, file); !read) return Within("body", read.error());
  body.Unknown(file.remarks);
  const bool centre = trunk != nullptr && (trunk->contains("centre_mm") || trunk->contains("center_mm") || trunk->contains("centre_y_mm"));
  const Json* top = in.Find({"table"});
  Members table(top != nullptr ? *top : kNone, "table");
  if (table.fault()) return *table.fault();
  if (Status read = ReadTable(table, centre, file); !read) return read;
  table.Unknown(file.remarks);
  return Done{};
}

}  // namespace

Result<SkinFile> ParseSkinFile(std::string_view text) {
  if (text.size() > kMostBytes) return Error{"the file is larger than 16 MiB", "events", "give a smaller one"};
  if (NestsDeeper(text, kDeepest)) return Error{"the file nests deeper than 8 levels", "events", "see docs/methods-skin.md"};
  const Json json = Json::parse(text, nullptr, false);
  if (json.is_discarded()) return Error{"this is not JSON", "events", "see docs/methods-skin.md"};
  SkinFile file;
  const Json* list = &json;
  if (json.is_object()) {
    Members in(json, "file");
    if (Status read = ReadSettings(in, file); !read) return read.error();
    list = in.Find({"events"});
    in.Unknown(file.remarks);
  }
  if (list == nullptr || !list->is_array()) return Error{"there is no list of events", "events", "write \"events\": [{...}]"};
  if (list->empty()) return Error{"the list of events is empty", "events", "give at least one"};
  if (list->size() > kMostEvents) return Error{"there are more than 100,000 events", "events", "give fewer"};
  for (std::size_t i = 0; i < list->size(); ++i) {
    auto event = ReadEvent((*list)[i], i, file.remarks);
    if (!event) return event.error();
    file.events.push_back(std::move(*event));
  }
  return file;
}

}  // namespace fairlead
