// SPDX-License-Identifier: Apache-2.0
#include "front/server/run_parts.h"

#include "reasoning/caution/reach.h"

namespace fairlead {
namespace {

void WriteReach(JsonText& json, const RunDevice& wire, const std::optional<ExternaliseReach>& reach) {
  json.Key("externalise");
  if (wire.side != RunSide::kRetrograde || !reach) {
    json.Null();
    return;
  }
  json.Open('{').Member("parked_cm", reach->parked_cm).Member("at_tip_cm", reach->at_tip_cm).Member("clear_cm", reach->clear_cm);
  const bool known = wire.length_cm.has_value();
  json.Member("verdict", !known ? "length not known" : *wire.length_cm <= 200.0 || *wire.length_cm < reach->parked_cm ? "no" : *wire.length_cm < reach->at_tip_cm ? "parked only" : *wire.length_cm < reach->clear_cm ? "at the tip" : "clear of the lesion");
  json.Close('}');
}

void WriteDevice(JsonText& json, const RunDevice& device, const std::optional<ExternaliseReach>& reach) {
  json.Open('{').Member("kind", DeviceWord(device.kind)).Member("tag", device.tag).Member("side", SideName(device.side)).Member("since", ToIso(device.since));
  WriteTime(json, "out", device.out);
  WriteNumber(json, "length_cm", device.length_cm);
  WriteNumber(json, "size_f", device.size_f);
  WriteNumber(json, "tip_g", device.tip_g);
  WriteNumber(json, "depth_cm", device.depth_cm);
  WriteNumber(json, "diameter_mm", device.diameter_mm);
  json.Member("class", device.wire_class).Member("lumens", device.lumens).Member("kit", device.kit).Member("site", device.site);
  json.Member("body_side", device.body_side).Member("segment", device.segment).Member("externalised", device.externalised).Member("in_aorta", device.in_aorta);
  json.Key("place");
  if (device.place) json.Open('{').Member("space", device.place->space).Member("proof", device.place->proof).Member("segment", device.place->segment).Member("at", ToIso(device.place->at)).Close('}');
  else json.Null();
  if (device.kind == DeviceKind::kWire) WriteReach(json, device, reach);
  json.Member("entry", device.entry).Close('}');
}

void WriteLast(JsonText& json, std::string_view name, const std::vector<At<double>>& sums) {
  json.Key(name);
  if (sums.empty()) json.Null();
  else json.Open('{').Member("value", sums.back().value).Member("at", ToIso(sums.back().at)).Close('}');
}

}  // namespace

void WriteTime(JsonText& json, std::string_view name, std::optional<Instant> at) {
  json.Key(name);
  at ? json.Text(ToIso(*at)) : json.Null();
}

void WriteNumber(JsonText& json, std::string_view name, std::optional<double> number) {
  json.Key(name);
  number ? json.Number(*number) : json.Null();
}

void WriteInBody(JsonText& json, const RunState& run) {
  const auto reach = ReachOf(run);
  json.Key("in_body").Open('[');
  for (const RunDevice* device : InBody(run)) WriteDevice(json, *device, reach);
  json.Close(']').Key("taken_out").Open('[');
  for (const RunDevice& device : run.devices)
    if (device.out) WriteDevice(json, device, std::nullopt);
  json.Close(']');
}

void WriteTotals(JsonText& json, const RunState& run) {
  json.Key("totals").Open('{');
  WriteLast(json, "contrast_ml", run.contrast);
  WriteNumber(json, "iodine_mg_ml", run.iodine_mg_ml);
  json.Member("contrast_fell", run.contrast_fell.has_value());
  WriteLast(json, "air_kerma_gy", run.air_kerma.sums);
  WriteLast(json, "kerma_area_gycm2", run.kerma_area.sums);
  WriteLast(json, "fluoro_min", run.fluoro.sums);
  json.Member("kerma_fell", run.air_kerma.fell);
  WriteNumber(json, "heparin_iu", HeparinUnits(run));
  double protamine = 0.0, fluid = 0.0, drained = 0.0;
  for (const auto& dose : run.protamine) protamine += dose.value;
  for (const auto& given : run.fluids) fluid += NumberOf(given.value, RunField::kVolume).value_or(0.0);
  for (const auto& drain : run.drains) drained += drain.value;
  json.Member("protamine_mg", protamine).Member("fluid_ml", fluid).Member("drained_ml", drained);
  json.Member("balloons", run.balloons.size()).Member("stents", run.stents.size()).Close('}');
}

void WriteLooks(JsonText& json, const RunState& run) {
  json.Key("pressure");
  if (run.pressures.empty()) {
    json.Null();
  } else {
    const auto& last = run.pressures.back();
    json.Open('{').Member("systolic_mmhg", last.value.systolic);
    WriteNumber(json, "diastolic_mmhg", last.value.diastolic);
    json.Member("at", ToIso(last.at)).Close('}');
  }
  WriteLast(json, "heart_rate", run.heart_rates);
  WriteLast(json, "saturation_pct", run.saturations);
  json.Key("echo");
  if (run.echoes.empty()) {
    json.Null();
  } else {
    const auto& last = run.echoes.back();
    json.Open('{').Member("finding", last.value.finding);
    WriteNumber(json, "effusion_mm", last.value.effusion_mm);
    json.Member("at", ToIso(last.at)).Close('}');
  }
  json.Key("decisions").Open('[');
  for (const auto& decision : run.decisions) json.Open('{').Member("decision", decision.value).Member("at", ToIso(decision.at)).Close('}');
  json.Close(']').Key("result");
  if (run.result) json.Open('{').Member("outcome", WordOf(run.result->value, RunField::kOutcome)).Member("reason", WordOf(run.result->value, RunField::kReason)).Member("next", WordOf(run.result->value, RunField::kDecision)).Member("at", ToIso(run.result->at)).Close('}');
  else json.Null();
  json.Key("earlier").Open('[');
  for (const EarlierUse& use : run.earlier) json.Open('{').Member("at", ToIso(use.at)).Member("contrast_ml", use.contrast_ml).Member("air_kerma_gy", use.air_kerma_gy).Close('}');
  json.Close(']');
}

void WriteTroubles(JsonText& json, const RunState& run) {
  json.Key("troubles").Open('[');
  for (const Trouble& trouble : run.troubles) {
    json.Open('{').Member("kind", trouble.kind).Member("class", trouble.grade).Member("site", trouble.site).Member("cause", trouble.cause);
    json.Key("active");
    trouble.active ? json.Text(StrategyWord(*trouble.active)) : json.Null();
    json.Key("in_body").Open('[');
    for (const std::string& tag : trouble.in_body) json.Text(tag);
    json.Close(']').Member("at", ToIso(trouble.at));
    WriteTime(json, "over", trouble.over);
    json.Member("entry", trouble.entry).Close('}');
  }
  json.Close(']');
}

Result<RunLimits> LimitsOf(const Knowledge& lab) {
  const KnowledgeText* text = FindKnowledge(lab, "limits");
  return text == nullptr ? RunLimits{} : RunLimitsFromJson(text->text);
}

Result<std::vector<Relevelled>> ChangesOf(const Knowledge& lab) {
  const KnowledgeText* text = FindKnowledge(lab, "rules");
  return text == nullptr ? std::vector<Relevelled>{} : RelevelledFromJson(text->text);
}

}  // namespace fairlead
