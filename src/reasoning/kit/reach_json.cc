// SPDX-License-Identifier: Apache-2.0
// Writing what was found along a route.
#include <fmt/core.h>

#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "reasoning/kit/route_json.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

Json Cm(Length length) {
  const double shown = std::strtod(fmt::format("{:.6f}", length.millimetres() / 10).c_str(), nullptr);
  return shown == 0.0 ? 0.0 : shown;
}
Json Share(double share) { return std::round(share * 1000) / 1000; }

Json ReadingOf(Length value, Length sd) { return {{"value", Cm(value)}, {"sd", Cm(sd)}}; }

Json StretchJson(const Stretch& stretch) {
  return {{"name", stretch.name}, {"length_cm", ReadingOf(stretch.length, stretch.sd)}, {"typical", stretch.typical}};
}

Json SpareJson(const Spare& spare) {
  return {{"reserve_cm", Cm(spare.value)}, {"sd_cm", Cm(spare.sd)}, {"verdict", WordOf(spare.reach)},
          {"odds_reaches", Share(spare.odds_reaches)}, {"odds_ok", Share(spare.odds_ok)}};
}

void RouteJson(Json& json, const RouteQuestion& question, const ReachRules& rules) {
  const DeviceRoute& route = *question.route;
  const ReachAnswer answer = LayAlong(route, question.devices, rules);
  json["need_cm"] = ReadingOf(answer.need.length, answer.need.sd);
  Json stretches = Json::array({StretchJson(route.valve), StretchJson(route.guide)});
  for (const Stretch& segment : route.segments) stretches.push_back(StretchJson(segment));
  if (route.inside_other > Length{}) stretches.push_back(StretchJson({"inside the other guide", route.inside_other, {}, false}));
  json["route"] = std::move(stretches);
  json["devices"] = Json::array();
  for (const Laid& laid : answer.laid) {
    Json each = {{"name", laid.device.name}, {"usable_cm", Cm(laid.device.usable)}, {"need_cm", Cm(laid.need.length)}};
    each.update(SpareJson(laid.spare));
    json["devices"].push_back(std::move(each));
  }
  if (answer.laid.empty()) return;
  const Laid& first = answer.laid[answer.first];
  json["runs_out_first"] = {{"name", first.device.name}, {"reserve_cm", Cm(first.spare.value)}, {"odds_reaches", Share(first.spare.odds_reaches)}};
}

Json ExternalJson(const RouteQuestion& question, const ReachRules& rules) {
  const auto needs = ExternalNeeds(*question.externalise, rules);
  Json json = {{"parked_cm", Cm(needs[0].need.length)}, {"at_guide_tip_cm", Cm(needs[1].need.length)}, {"clear_of_lesion_cm", Cm(needs[2].need.length)},
               {"sd_cm", Cm(needs[1].need.sd)}, {"gear", question.externalise->over_the_wire ? "over the wire" : "rapid exchange"}, {"wires", Json::array()}};
  for (const NamedLength& wire : question.wires) {
    const ExternalWire out = BringOut(wire.name, wire.length, *question.externalise, rules);
    json["wires"].push_back({{"name", out.name}, {"length_cm", Cm(out.length)}, {"parked", SpareJson(out.spare[0])},
                             {"at_guide_tip", SpareJson(out.spare[1])}, {"clear_of_lesion", SpareJson(out.spare[2])},
                             {"most_pull_back_cm", Cm(out.most_pull_back)}, {"may_be_snared", out.may_be_snared}});
  }
  json["rule"] = "Only a wire that is long enough to be brought out is snared, by its soft shaft behind the tip, with a microcatheter through the "
                 "collateral; a shorter one is passed into an antegrade microcatheter or exchanged first.";
  return json;
}

Json ExchangeJson(const Exchanging& ask, const ReachRules& rules) {
  const ExchangeAnswer answer = Exchange(ask, rules);
  Json json = {{"tail_cm", Cm(answer.tail)}, {"longest_protrusion_cm", Cm(answer.longest_protrusion)}, {"ways", Json::array()}};
  for (const WayOut& way : answer.ways) {
    Json each = {{"way", way.name}, {"works", way.works}};
    if (way.needs > Length{}) { each["has_cm"] = Cm(way.has); each["needs_cm"] = Cm(way.needs); each["reserve_cm"] = Cm(way.has - way.needs); }
    if (!way.mind.empty()) each["mind"] = way.mind;
    json["ways"].push_back(std::move(each));
  }
  return json;
}

Json SnareJson(const RouteQuestion& question, const ReachRules& rules) {
  const SnareQuestion& ask = *question.snare;
  Json json = {{"name", ask.name}};
  json.update(SpareJson(SnareReaches(ask.snare, question.route->valve, question.route->guide, rules)));
  if (ask.loop && ask.vessel) {
    json["loop_mm"] = ask.loop->millimetres();
    json["vessel_mm"] = ask.vessel->millimetres();
    json["loop"] = WordOf(LoopIn(*ask.loop, *ask.vessel));
  }
  return json;
}

}  // namespace

std::string ReachJson(const RouteQuestion& question, const ReachRules& rules) {
  Json json = Json::object();
  if (question.route) RouteJson(json, question, rules);
  if (question.externalise) json["externalise"] = ExternalJson(question, rules);
  if (question.exchange) json["exchange"] = ExchangeJson(*question.exchange, rules);
  if (question.snare) json["snare"] = SnareJson(question, rules);
  if (question.access) json["guide_to_ostium"] = SpareJson(GuideReaches(question.route->guide.length, *question.access, rules));
  if (question.tunnel) json["extension_spare_cm"] = Cm(ExtensionSpare(*question.tunnel, *question.wanted_depth, rules));
  json["cautions"] = Json::array();
  if (question.wire_in_aorta) {
    json["cautions"].push_back({{"id", "S-56"}, {"what", "the wire lies in the aorta beside the guide"},
                                {"ask", "Did it leave through the ostium's own lumen, not through its wall? Two views or ultrasound; guide or extension brought to "
                                        "it, microcatheter following, exchange to a wire that is long enough; only its soft shaft is snared, and someone watches the donor guide."},
                                {"source", "practice"}});
  }
  json["assumed"] = {{"comfort_cm", Cm(rules.comfort)}, {"grip_cm", Cm(rules.grip)}, {"tail_cm", Cm(rules.tail)}};
  json["caution"] = "Measure valve, guide and route: labels and usual lengths are not this patient's. Local protocol and the responsible physician decide.";
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace fairlead
