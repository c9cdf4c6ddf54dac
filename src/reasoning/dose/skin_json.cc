// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/skin_json.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "reasoning/dose/followup.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;

double Rounded(double value, double scale) { return std::round(value * scale) / scale; }
Json PointJson(Vec3 at) { return {{"x_mm", Rounded(at.x, 100)}, {"y_mm", Rounded(at.y, 100)}, {"z_mm", Rounded(at.z, 100)}}; }

std::string Written(const Json& json) { return json.dump(-1, ' ', false, Json::error_handler_t::replace); }

const char* PartName(std::size_t part) {
  constexpr std::array<const char*, 3> kNames{"trunk", "right arm", "left arm"};
  return kNames[std::min<std::size_t>(part, 2)];
}

// Each event by itself, at the place where its own central ray enters.
Json EventJson(const IrradiationEvent& event, std::size_t index, const SkinEstimate& made) {
  Json json{{"id", event.id}, {"kind", EventKindName(event.kind)}};
  if (!event.started.empty()) json["started"] = event.started;
  if (event.kerma) json["air_kerma_gy"] = event.kerma->gray();
  if (event.angles) json["view"] = GantryText(*event.angles);
  const std::vector<Beam>& all = made.beams.beams;  // they stand in the order of events
  const auto from = std::ranges::lower_bound(all, index, std::less<>{}, &Beam::event), to = std::ranges::upper_bound(all, index, std::less<>{}, &Beam::event);
  const std::span beams(from, to);
  if (beams.empty()) return json;
  if (const auto entry = EntryOf(beams.front(), made.settings.body)) {
    double own = 0.0;
    for (const Beam& beam : beams) own += DoseAt(beam, made.settings.body, entry->part, entry->place);
    json["enters"] = PointJson(entry->place.at);
    json["part"] = PartName(entry->part);
    json["distance_mm"] = Rounded(entry->distance, 1000);
    json["field_mm"] = Rounded(entry->side, 1000);
    json["dose_gy"] = own;
    json["here_gy"] = ExposedAt(made.map, *entry);
  } else {
    json["misses"] = true;
  }
  return json;
}

Json FollowUpJson(const SkinEstimate& made, std::span<const IrradiationEvent> events, double stated_minutes) {
  double minutes = 0.0;
  for (const IrradiationEvent& event : events) {
    if (event.kind == EventKind::kFluoroscopy && event.duration) minutes += event.duration->minutes();
  }
  minutes = std::max(minutes, stated_minutes);
  const double product = 1e4 * made.beams.area_product;
  DoseTotals totals{made.beams.kerma, std::nullopt, std::nullopt, made.high};
  if (product > 0.0) totals.area_product = product;
  if (minutes > 0.0) totals.minutes = minutes;
  const SkinBand &band = BandOf(made.peak.gray), &worst = BandOf(made.high);
  Json json{{"band", band.name}, {"band_at_high", worst.name}, {"prompt", worst.prompt}, {"early", worst.early}, {"midterm", worst.midterm}, {"longterm", worst.longterm}};
  json["reached"] = Json::array();
  for (const ReachedLevel& level : LevelsReached(totals)) json["reached"].push_back({{"what", level.what}, {"asks", level.asks}, {"source", level.source.id}});
  json["patient"] = PatientAdvice(made.peak.gray, made.high, made.from_totals || !made.beams.faults.empty());
  if (product > 0.0) {
    const EffectiveDose dose = EffectiveDoseOf(events, product);
    json["effective"] = {{"msv", dose.millisievert}, {"low_msv", dose.low}, {"high_msv", dose.high}, {"by_filter", dose.by_filter},
                         {"caveat", "a population figure for comparison, not this patient's risk"}};
  }
  return json;
}

}  // namespace

std::string EstimateJson(const SkinEstimate& made, std::span<const IrradiationEvent> events, const std::vector<std::string>& remarks, const std::optional<StatedTotals>& stated) {
  Json json{{"peak_gy", made.peak.gray}, {"low_gy", made.low}, {"high_gy", made.high}};
  json["at"] = made.from_totals || made.peak.gray <= 0.0 ? Json() : PointJson(made.peak.place.at);
  json["by"] = Json::array();
  json["shares"] = Json::array();
  for (const Share& share : made.peak.by) {
    json["by"].push_back(events[share.event].id);
    json["shares"].push_back({{"id", events[share.event].id}, {"gy", share.gray}});
  }
  if (json["at"].is_object()) json["part"] = PartName(made.peak.part);
  json["from_totals"] = made.from_totals;
  json["air_kerma_gy"] = made.beams.kerma;
  if (made.beams.area_product > 0.0) json["area_product_gycm2"] = 1e4 * made.beams.area_product;
  json["why"] = made.why;
  json["events"] = Json::array();
  for (std::size_t i = 0; i < events.size(); ++i) json["events"].push_back(EventJson(events[i], i, made));
  json["missing"] = Json::array();
  for (const EventFault& fault : made.beams.faults) json["missing"].push_back({{"id", events[fault.event].id}, {"what", fault.text}});
  json["remarks"] = remarks;
  if (stated) {
    json["report"] = {{"stated_kerma_gy", stated->kerma}, {"summed_kerma_gy", stated->summed_kerma}, {"stated_area_product_gycm2", stated->area_product},
                      {"summed_area_product_gycm2", stated->summed_area_product}, {"fluoroscopy_min", stated->fluoroscopy_minutes}};
  }
  json["followup"] = FollowUpJson(made, events, stated ? stated->fluoroscopy_minutes : 0.0);
  const EllipticCylinder& trunk = made.settings.body.torso.trunk;
  json["body"] = {{"half_width_mm", trunk.half_width}, {"half_depth_mm", trunk.half_depth}, {"known", made.settings.body.size_known}, {"table_known", made.settings.body.table_known}};
  json["sources"] = {kBeamFactorsSource.id, ("skin-map-review-2020"_source).id, ("skin-effects-2011"_source).id};
  return Written(json);
}

std::string EventsJson(std::span<const IrradiationEvent> events) {
  Json list = Json::array();
  const auto put = [](Json& json, const char* name, const std::optional<Length>& value) { if (value) json[name] = value->millimetres(); };
  for (const IrradiationEvent& event : events) {
    Json json{{"id", event.id}, {"kind", EventKindName(event.kind)}, {"plane", PlaneName(event.plane)}};
    if (!event.started.empty()) json["started"] = event.started;
    if (event.kerma) json["air_kerma_gy"] = event.kerma->gray();
    if (event.area_product) json["area_product_gym2"] = event.area_product->gray_square_metres();
    if (event.angles) json["primary_deg"] = event.angles->primary.degrees(), json["secondary_deg"] = event.angles->secondary.degrees();
    if (event.end_angles) json["end_primary_deg"] = event.end_angles->primary.degrees(), json["end_secondary_deg"] = event.end_angles->secondary.degrees();
    put(json, "sod_mm", event.source_to_isocentre);
    put(json, "sid_mm", event.source_to_detector);
    put(json, "reference_mm", event.source_to_reference);
    put(json, "field_width_mm", event.field_width);
    put(json, "field_height_mm", event.field_height);
    put(json, "copper_mm", event.copper);
    if (event.field_area_mm2 > 0.0) json["field_area_mm2"] = event.field_area_mm2;
    if (event.kilovolts) json["kv"] = *event.kilovolts;
    if (event.duration) json["duration_s"] = event.duration->seconds();
    if (event.frames) json["frames"] = *event.frames;
    if (event.table) json["table_mm"] = {event.table->x, event.table->y, event.table->z};
    if (event.table_end) json["table_end_mm"] = {event.table_end->x, event.table_end->y, event.table_end->z};
    list.push_back(std::move(json));
  }
  return Written({{"events", std::move(list)}});
}

std::string SkinMapJson(const SkinEstimate& made, std::span<const IrradiationEvent> events) {
  Json parts = Json::array();
  for (std::size_t k = 0; k < made.map.skin.parts.size(); ++k) {
    const SkinPart& part = made.map.skin.parts[k];
    Json doses = Json::array();
    for (const double gray : made.map.dose[k]) doses.push_back(static_cast<int>(std::lround(gray * 1000.0)));
    parts.push_back({{"name", PartName(k)}, {"round", part.round}, {"along", part.along}, {"z0_mm", part.z0}, {"step_z_mm", part.step_z},
                     {"half_width_mm", part.body.half_width}, {"half_depth_mm", part.body.half_depth},
                     {"centre_mm", {part.body.centre.x, part.body.centre.y, part.body.centre.z}}, {"dose_mgy", std::move(doses)}});
  }
  Json beams = Json::array();
  for (const Beam& beam : made.beams.beams) {
    if (beams.size() >= 2000) break;
    beams.push_back({{"id", events[beam.event].id}, {"source_mm", {beam.source.x, beam.source.y, beam.source.z}},
                     {"along", {beam.along.x, beam.along.y, beam.along.z}}, {"column", {beam.column.x, beam.column.y, beam.column.z}},
                     {"row", {beam.row.x, beam.row.y, beam.row.z}}, {"half_column", beam.half_column}, {"half_row", beam.half_row}});
  }
  return Written({{"parts", std::move(parts)}, {"beams", std::move(beams)}});
}

}  // namespace fairlead
