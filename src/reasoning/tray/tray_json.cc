// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/tray_json.h"

#include <fmt/core.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "reasoning/tray/needs.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

double Round(double value, double per) {
  const double shown = std::round(value * per) / per;
  return shown == 0.0 ? 0.0 : shown;
}

std::string Joined(const std::vector<std::string>& words, std::string_view between) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? std::string() : std::string(between)) + word;
  return text;
}

Json Named(const Shelf& shelf, std::size_t at, std::string_view today) {
  const Device& device = shelf.devices[at];
  Json json = {{"name", device.name}, {"class", WordOf(device.kind)}, {"label", device.label}, {"usable", UsableCount(device, today)}, {"expired", ExpiredCount(device, today)}};
  json["usable_cm"] = device.usable ? Json(Round(device.usable->millimetres() / 10, 10)) : Json(nullptr);
  return json;
}

Json SpareJson(const Spare& spare) {
  return {{"reserve_cm", Round(spare.value.millimetres() / 10, 10)}, {"sd_cm", Round(spare.sd.millimetres() / 10, 10)},
          {"verdict", WordOf(spare.reach)}, {"odds_reaches", Round(spare.odds_reaches, 1000)}};
}

Json ExternalJson(const TrayExternal& external) {
  Json json = {{"microcatheter", external.microcatheter}, {"guide", external.guide}, {"stages", Json::array()}, {"wire", nullptr}};
  for (std::size_t i = 0; i < external.needs.size(); ++i) {
    json["stages"].push_back({{"stage", external.needs[i].stage}, {"need_cm", Round(external.needs[i].need.length.millimetres() / 10, 10)}});
    if (external.wire) json["stages"].back().update(SpareJson(external.wire->spare[i]));
  }
  if (external.wire) json["wire"] = {{"name", external.wire->name}, {"length_cm", Round(external.wire->length.millimetres() / 10, 10)}, {"may_be_snared", external.wire->may_be_snared}};
  return json;
}

Json NeedJson(const TrayNeed& need, const Shelf& shelf, std::string_view today) {
  Json json = {{"id", need.id}, {"what", need.what}, {"why", need.why}, {"side", WordOf(need.side)}, {"strategies", need.strategies},
               {"count", need.count * need.kinds}, {"state", WordOf(need.state)}, {"remark", need.remark}, {"pieces", Json::array()}, {"candidates", Json::array()}};
  for (const TrayPiece& piece : need.pieces) {
    json["pieces"].push_back(Named(shelf, piece.device, today));
    json["pieces"].back()["count"] = piece.count;
  }
  for (std::size_t i = 0; i < need.candidates.size(); ++i) {
    json["candidates"].push_back(Named(shelf, need.candidates[i], today));
    if (need.reaches[i]) json["candidates"].back()["reach"] = SpareJson(*need.reaches[i]);
  }
  if (need.reach) json["reach"] = SpareJson(*need.reach);
  return json;
}

Json GroupJson(const TrayGroup& group, const Shelf& shelf) {
  const FitAnswer& answer = group.fit.answer;
  Json json = {{"why", group.why}, {"strategies", group.strategies}, {"order", Json::array()}, {"verdict", WordOf(answer.fit)},
               {"margin_mm", Round(answer.margin.millimetres(), 1e4)}, {"smallest_lumen_mm", Round(answer.smallest.millimetres(), 1e4)},
               {"clearance_mm", FitRules{}.clearance.millimetres()}, {"odds_passes", Round(answer.doubt.odds_passes, 1000)},
               {"odds_fits", Round(answer.doubt.odds_fits, 1000)}, {"sensitive", answer.doubt.sensitive}, {"too_close_to_call", answer.too_close},
               {"off_label", answer.off_label}, {"flow_left", group.flow ? Json(Round(group.flow->share, 1000)) : Json(nullptr)}, {"resting", Json::array()}, {"positions", Json::array()}, {"worst", Json::array()}};
  for (const std::size_t at : group.devices) json["order"].push_back(shelf.devices[at].name);
  for (const Place& place : answer.places) {
    json["positions"].push_back({{"x_mm", Round(place.x.millimetres(), 1e4)}, {"y_mm", Round(place.y.millimetres(), 1e4)}, {"diameter_mm", Round(place.diameter.millimetres(), 1e4)}});
  }
  for (const Place& place : group.resting) {
    json["resting"].push_back({{"x_mm", Round(place.x.millimetres(), 1e4)}, {"y_mm", Round(place.y.millimetres(), 1e4)}, {"diameter_mm", Round(place.diameter.millimetres(), 1e4)}});
  }
  for (const Paired& paired : answer.worst) {
    json["worst"].push_back({{"device", shelf.devices[group.devices[paired.device]].name}, {"section", paired.section}, {"moving", paired.moving}});
  }
  return json;
}

Json GuideJson(const TrayGuide& guide, const Shelf& shelf) {
  Json json = {{"side", WordOf(guide.side)}, {"guide", nullptr}, {"sheath", nullptr}, {"verdict", WordOf(guide.fit)}, {"groups", Json::array()},
               {"conflicts", guide.conflicts}};
  if (guide.guide) {
    const Device& device = shelf.devices[*guide.guide];
    json["guide"] = {{"name", device.name}, {"label", device.label}, {"lumen_mm", Round(device.lumen->millimetres(), 1e4)}};
    if (device.usable) json["guide"]["usable_cm"] = Round(device.usable->millimetres() / 10, 10);
  }
  if (guide.sheath) json["sheath"] = shelf.devices[*guide.sheath].name;
  if (guide.artery_ratio) json["artery_ratio"] = Round(*guide.artery_ratio, 100);
  for (const TrayGroup& group : guide.groups) json["groups"].push_back(GroupJson(group, shelf));
  return json;
}

Json StretchesJson(const std::vector<Stretch>& stretches) {
  Json list = Json::array();
  for (const Stretch& each : stretches) {
    list.push_back({{"name", each.name}, {"length_cm", {{"value", Round(each.length.millimetres() / 10, 100)}, {"sd", Round(each.sd.millimetres() / 10, 100)}}}, {"typical", each.typical}});
  }
  return list;
}

std::string BatchText(const Device& device, std::string_view today) {
  std::vector<std::string> batches;
  for (const Stock& stock : device.stock) {
    const bool expired = !stock.expires.empty() && std::string_view(stock.expires) < today;
    if (stock.count > 0 && !expired) batches.push_back(fmt::format("{} {}{}", stock.place, stock.lot, stock.expires.empty() ? "" : ", to " + stock.expires));
  }
  return Joined(batches, "; ");
}

}  // namespace

Result<TrayQuestion> TrayQuestionFromJson(std::string_view text, TrayQuestion base) {
  const Json json = Json::parse(text, nullptr, false);
  if (!json.is_object()) return Error{"this is not a JSON object", "", "send {\"strategies\": [\"AW\", \"RW\"]}"};
  const auto size = [](const Json& value) { return value.is_number() && value.get<double>() > 0 && value.get<double>() < 500; };
  for (const auto& [key, value] : json.items()) {
    if (key == "strategies" && value.is_array() && value.size() <= 8 && std::all_of(value.begin(), value.end(), [](const Json& each) { return each.is_string(); })) {
      base.strategies = value.get<std::vector<std::string>>();
    } else if (key == "vessel_mm" && size(value)) {
      base.vessel = Length::Millimetres(value.get<double>());
    } else if (key == "radial_artery_mm" && size(value)) {
      base.radial_artery = Length::Millimetres(value.get<double>());
    } else if (key == "antegrade_cm" && size(value)) {
      base.antegrade = {{"antegrade route", Length::Centimetres(value.get<double>()), {}, false}};
    } else if (key == "retrograde_cm" && size(value)) {
      base.retrograde = {{"retrograde route", Length::Centimetres(value.get<double>()), {}, false}};
    } else {
      return Error{"this member is not understood", key, "send strategies, vessel_mm, radial_artery_mm, antegrade_cm, retrograde_cm"};
    }
  }
  return base;
}

std::string TrayJson(const TrayQuestion& question, const TrayAnswer& answer, const Shelf& shelf) {
  Json json = {{"strategies", question.strategies}, {"invented", shelf.invented}, {"today", question.today}};
  json["vessel_mm"] = question.vessel ? Json(question.vessel->millimetres()) : Json(nullptr);
  json["routes"] = {{"valve", StretchesJson({question.valve})}, {"antegrade", StretchesJson(question.antegrade)}, {"retrograde", StretchesJson(question.retrograde)}};
  json["guides"] = Json::array();
  for (const TrayGuide& guide : answer.guides) json["guides"].push_back(GuideJson(guide, shelf));
  json["needs"] = Json::array();
  for (const TrayNeed& need : answer.needs) json["needs"].push_back(NeedJson(need, shelf, question.today));
  json["bailout"] = Json::array();
  for (const TrayNeed& need : answer.bailout) json["bailout"].push_back(NeedJson(need, shelf, question.today));
  json["by_eye"] = answer.by_eye;
  json["external"] = answer.external ? ExternalJson(*answer.external) : Json(nullptr);
  json["conflicts"] = answer.conflicts;
  json["picks"] = Json::array();
  for (const Pick& pick : PickList(answer)) {
    const Device& device = shelf.devices[pick.device];
    json["picks"].push_back({{"name", device.name}, {"label", device.label}, {"class", TitleOf(device.kind)}, {"count", pick.count}, {"what_for", pick.what_for},
                             {"where", BatchText(device, question.today)}});
  }
  json["caution"] = "Lists of the trade, no source: the lab's own rules come first. The responsible physician decides what is opened.";
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string PickListText(const TrayQuestion& question, const TrayAnswer& answer, const Shelf& shelf) {
  std::string text = "Pick list for " + Joined(question.strategies, ", then ") + (shelf.invented ? " (invented shelf)" : "") + "\n";
  for (const auto* list : {&answer.needs, &answer.bailout}) {
    for (const TrayNeed& need : *list) {
      if (need.state != NeedState::kReady) text += fmt::format("  {} {}: {}\n", need.state == NeedState::kMissing ? "MISSING " : "DOUBTFUL", need.what, need.remark);
    }
  }
  for (const std::string& conflict : answer.conflicts) text += "  MIND     " + conflict + "\n";
  for (const Pick& pick : PickList(answer)) {
    const Device& device = shelf.devices[pick.device];
    text += fmt::format("  [ ] {} x {}, {} ({}): {}\n", pick.count, device.name, device.label, Joined(pick.what_for, "; "), BatchText(device, question.today));
  }
  text += "  By eye: " + Joined(answer.by_eye, "; ") + "\n";
  return text;
}

}  // namespace fairlead
