// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <nlohmann/json.hpp>

#include "reasoning/kit/kit_json.h"
#include "reasoning/kit/support.h"
#include "reasoning/kit/wire.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

double Digits(double value, double per) { return std::round(value * per) / per; }

Json Carried(double printed) {
  Json list = Json::array();
  for (const double tip : {10.0, 7.0, 5.0, 3.0, 2.0}) {
    list.push_back({{"free_tip_mm", tip}, {"load_gf", Digits(CarriedLoadGf(printed, Length::Millimetres(tip)), 100)}});
  }
  return list;
}

}  // namespace

std::string WiresJson(const Shelf& shelf, std::string_view today) {
  Json json = {{"invented", shelf.invented}, {"wires", Json::array()}};
  for (const LadderWire& wire : WireLadder(shelf)) {
    const Device& device = shelf.devices[wire.device];
    const WireClass& step = ClassOfStep(wire.step);
    Json each = {{"name", device.name}, {"step", step.id}, {"title", step.title}, {"place", step.place}, {"coating", device.coating},
                 {"count", UsableCount(device, today)}};
    each["length_cm"] = device.usable ? Json(device.usable->millimetres() / 10) : Json(nullptr);
    each["tip_load_gf"] = device.tip_load_gf ? Json(*device.tip_load_gf) : Json(nullptr);
    each["tip_mm"] = device.tip ? Json(Digits(device.tip->millimetres(), 1e4)) : Json(nullptr);
    if (wire.pressure) {
      each["pressure_mpa"] = Digits(wire.pressure->megapascal, 1e4);
      each["pressure_gf_per_mm2"] = Digits(wire.pressure->gf_per_mm2, 1e2);
      each["pressure_kgf_per_in2"] = Digits(wire.pressure->kgf_per_in2, 1e2);
      each["times_softest"] = Digits(*wire.times_softest, 100);
      each["carries"] = Carried(*device.tip_load_gf);
    }
    json["wires"].push_back(std::move(each));
  }
  json["advice"] = {"Bring the microcatheter up before a stiffer wire: half the free tip carries four times the load.",
                    "Escalate where the tip bends without advance and the support is already close, not on an unknown course.",
                    "Go back to a soft wire after a hard cap, on entering the distal lumen, before any collateral."};
  json["limits"] = "Nominal: tips are rounded and coated, and a load is printed for one free length. Below 2 mm of free tip nothing more is claimed.";
  json["source"] = "practice";
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string SupportJson() {
  Json json = {{"findings", Json::array()}, {"model", Json::array()}, {"remedies", Json::array()}};
  for (const SupportFinding& finding : SupportFindings()) {
    json["findings"].push_back({{"what", finding.what}, {"size", finding.size}, {"source", finding.source.id}});
  }
  for (const double mu : {0.0, 0.05, 0.10, 0.20}) {
    Json row = {{"friction", mu}, {"locks_at_deg", Digits(LocksAt(mu).degrees(), 10)}, {"hold", Json::array()}};
    for (const double angle : {0.0, 30.0, 45.0, 60.0, 75.0, 80.0}) {
      const auto hold = HoldFactor(Angle::Degrees(angle), mu);
      row["hold"].push_back({{"angle_deg", angle}, {"factor", hold ? Json(Digits(*hold, 100)) : Json("locks")}});
    }
    json["model"].push_back(std::move(row));
  }
  for (const SupportRemedy& remedy : SupportRemedies()) {
    json["remedies"].push_back({{"what", remedy.what}, {"mind", remedy.mind}, {"costs_lumen", remedy.costs_lumen}});
  }
  json["note"] = "A comparison, not newtons: the angle at the opposite wall counts most.";
  return json.dump();
}

}  // namespace fairlead
