// SPDX-License-Identifier: Apache-2.0
// Facts on their way out; the way in is fact_json.cc.
#include <cmath>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <string>
#include <variant>

#include "casebook/fact_json.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;

Json NumberJson(const Number& number) {
  if (!number.sd)
    return number.value == std::floor(number.value) && std::abs(number.value) < 1e9
               ? Json(static_cast<std::int64_t>(number.value))
               : Json(number.value);
  return {{"value", number.value}, {"sd", *number.sd}};
}

Json ToJson(const Belief& belief) {
  if (std::holds_alternative<Unseen>(belief)) return "unseen";
  if (std::holds_alternative<NotDeterminable>(belief)) return "not determinable";
  if (const auto* flag = std::get_if<FlagOdds>(&belief)) {
    if (flag->yes == 0.0 || flag->yes == 1.0) return flag->yes == 1.0;
    return flag->yes;
  }
  if (const auto* grade = std::get_if<GradeOdds>(&belief)) {
    if (grade->odds.size() == 1) return grade->odds[0].first;
    Json odds = Json::object();
    for (const auto& [word, share] : grade->odds) odds[word] = share;
    return odds;
  }
  if (const auto* number = std::get_if<Number>(&belief)) return NumberJson(*number);
  if (const auto* numbers = std::get_if<Numbers>(&belief)) {
    Json list = Json::array();
    for (const auto& number : numbers->values) list.push_back(NumberJson(number));
    return list;
  }
  return nullptr;
}

}  // namespace

std::string BeliefJson(const FactRow& /*row*/, const Belief& belief) {
  return ToJson(belief).dump();
}

std::string FactsFileJson(const Facts& facts) {
  Json file = Json::object();
  for (const auto& [key, belief] : facts) {
    (key.of.empty() ? file : file["channels"][key.of])[key.name] = ToJson(belief);
  }
  return file.dump();
}

}  // namespace fairlead
