// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "reasoning/kit/kit_json.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kCaution =
    "Labels round and makers differ: try outside the patient what is tight. Local protocol and the responsible physician decide.";

// A tenth of a nanometre: every machine prints the same bytes, and no figure carries more.
Json Mm(Length length) {
  const double shown = std::strtod(fmt::format("{:.7f}", length.millimetres()).c_str(), nullptr);
  return shown == 0.0 ? 0.0 : shown;  // never -0
}

Json Share(double share) { return std::round(share * 1000) / 1000; }

Json Position(const Place& place) {
  return {{"x_mm", Mm(place.x)}, {"y_mm", Mm(place.y)}, {"diameter_mm", Mm(place.diameter)}};
}

Json Positions(const std::vector<Place>& places) {
  Json list = Json::array();
  for (const Place& place : places) list.push_back(Position(place));
  return list;
}

Json Worst(const FitAnswer& answer, const OrderedFit& order, const std::vector<std::string>& names) {
  Json list = Json::array();
  for (const Paired& paired : answer.worst) {
    list.push_back({{"device", names[order.order[paired.device]]}, {"section", paired.section}, {"moving", paired.moving}});
  }
  return list;
}

Json Order(const OrderedFit& order, const std::vector<std::string>& names) {
  Json list = Json::array();
  for (const std::size_t at : order.order) list.push_back(names[at]);
  return list;
}

void Tell(Json& json, const FitHostAnswer& host, const FitReport& report) {
  const ChainFit& chain = host.chain;
  const OrderedFit& best = chain.orders.front();
  const FitAnswer& answer = best.answer;
  json["verdict"] = WordOf(answer.fit);
  json["lumen_mm"] = Mm(chain.host.lumen);
  json["host"] = chain.host.name;
  if (answer.fit == FitClass::kUnknown) {
    json["why"] = answer.why;
    return;
  }
  json["margin_mm"] = Mm(answer.margin);
  json["smallest_lumen_mm"] = Mm(answer.smallest);
  json["proved_lumen_mm"] = Mm(answer.proved);
  json["too_close_to_call"] = answer.too_close;
  json["positions"] = Positions(answer.places);
  json["clearance_mm"] = Mm(chain.host.microcatheter ? report.rules.clearance_inside : report.rules.clearance);
  json["rounding"] = {{"worst_margin_mm", Mm(answer.doubt.worst)}, {"best_margin_mm", Mm(answer.doubt.best)},
                      {"sensitive", answer.doubt.sensitive}, {"odds_passes", Share(answer.doubt.odds_passes)},
                      {"odds_fits", Share(answer.doubt.odds_fits)}};
  json["off_label"] = answer.off_label;
  json["order"] = Order(best, chain.names);
  json["order_matters"] = !report.circles;
  json["worst"] = Worst(answer, best, chain.names);
  if (answer.margin_turned) json["margin_turned_mm"] = Mm(*answer.margin_turned);
  if (answer.margin_out) {
    json["margin_out_mm"] = Mm(*answer.margin_out);
    json["verdict_out"] = WordOf(ClassOf(*answer.margin_out, chain.host.microcatheter ? report.rules.clearance_inside : report.rules.clearance));
  }
  if (!answer.why.empty()) json["why"] = answer.why;
  if (!chain.host.remark.empty()) json["remark"] = chain.host.remark;
  if (host.flow) json["flow"] = {{"left", Share(host.flow->share)}, {"free_area", Share(host.flow->free_area)}, {"resting", Positions(host.resting)}};
}

Json OtherOrders(const ChainFit& chain) {
  Json list = Json::array();
  for (const OrderedFit& order : chain.orders) {
    const FitAnswer& answer = order.answer;
    Json each = {{"order", Order(order, chain.names)}, {"verdict", WordOf(answer.fit)}};
    if (answer.fit != FitClass::kUnknown) {
      each["margin_mm"] = Mm(answer.margin);
      each["worst"] = Worst(answer, order, chain.names);
    }
    list.push_back(std::move(each));
    if (list.size() == 24) break;
  }
  return list;
}

}  // namespace

std::string FitJson(const FitReport& report) {
  Json json = Json::object();
  Tell(json, report.hosts[report.narrowest], report);
  json["orders"] = OtherOrders(report.hosts[report.narrowest].chain);
  json["hosts"] = Json::array();
  for (const FitHostAnswer& host : report.hosts) {
    Json each = Json::object();
    Tell(each, host, report);
    each["devices"] = host.chain.names;
    json["hosts"].push_back(std::move(each));
  }
  json["caution"] = kCaution;
  return json.dump();
}

std::string KindsJson(const KindsReport& report) {
  Json json = Json::object();
  Json counts = {{"fits", 0}, {"tight", 0}, {"no", 0}, {"unknown", 0}};
  Json list = Json::array();
  for (const Combination& each : report.combinations) {
    const ChainFit& chain = each.host.chain;
    const OrderedFit& best = chain.orders.front();
    const bool known = best.answer.fit != FitClass::kUnknown;
    const std::string verdict(WordOf(best.answer.fit));
    counts[verdict] = counts[verdict].get<int>() + 1;
    Json row = {{"lumens", each.question.lumens}, {"items", each.question.items}, {"lumens_shown", each.lumens}, {"items_shown", each.items}, {"verdict", verdict}};
    row["margin_mm"] = known ? Mm(best.answer.margin) : Json();
    row["lumen_mm"] = Mm(chain.host.lumen);
    row["host"] = chain.host.name;
    row["too_close_to_call"] = best.answer.too_close;
    if (known) {
      row["smallest_lumen_mm"] = Mm(best.answer.smallest);
      row["proved_lumen_mm"] = Mm(best.answer.proved);
      row["order"] = Order(best, chain.names);
      row["worst"] = Worst(best.answer, best, chain.names);
      row["off_label"] = best.answer.off_label;
    }
    row["order_matters"] = chain.orders.back().answer.fit != best.answer.fit;
    list.push_back(std::move(row));
  }
  json["counts"] = counts;
  json["combinations"] = std::move(list);
  json["remarks"] = report.remarks;
  json["hosts"] = Json::array();
  json["orders"] = Json::array();
  json["caution"] = kCaution;
  return json.dump();
}

Result<FitQuestion> FitQuestionFromJson(std::string_view text) {
  const Json json = Json::parse(text, nullptr, false);
  if (!json.is_object()) return Error{"this is not a JSON object", "", "send {\"lumens\": [...], \"items\": [...]}"};
  FitQuestion question;
  for (const auto& [key, value] : json.items()) {
    if (key == "lumens" || key == "items") {
      const bool texts = value.is_array() && value.size() <= 64 && std::all_of(value.begin(), value.end(), [](const Json& each) { return each.is_string(); });
      if (!texts) return Error{"this is not a list of texts", key, "send [\"1.80mm\"]"};
      (key == "lumens" ? question.lumens : question.items) = value.get<std::vector<std::string>>();
    } else if (key == "clearance_mm" && value.is_number() && value.get<double>() >= 0 && value.get<double>() <= 5) {
      question.clearance = Length::Millimetres(value.get<double>());
    } else if (key == "together" && value.is_boolean()) {
      question.together = value.get<bool>();
    } else if (key == "as_given" && value.is_boolean()) {
      question.as_given = value.get<bool>();
    } else {
      return Error{"this member is not understood", key, "send lumens, items, clearance_mm (0 to 5), together, as_given"};
    }
  }
  return question;
}

}  // namespace fairlead
