// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/model_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <initializer_list>
#include <nlohmann/json.hpp>

#include "casebook/json_depth.h"
#include "reasoning/strategy/priors.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostBytes = std::size_t{1} << 20;
constexpr int kDeepest = 8;  // chosen: a model needs 4

Error Bad(std::string what, std::string where, std::string to_do) { return {std::move(what), std::move(where), std::move(to_do)}; }

// Collects the first thing that is wrong, so that the reading below stays a list of members.
class Reader {
 public:
  bool ok() const { return !error_; }
  const Error& error() const { return *error_; }
  void Fail(std::string what, std::string where, std::string to_do) {
    if (!error_) error_ = Bad(std::move(what), std::move(where), std::move(to_do));
  }
  void Known(const Json& object, const std::string& where, std::initializer_list<std::string_view> names) {
    if (!object.is_object()) return Fail("an object is expected", where, "write {\"name\": value}");
    for (const auto& [name, value] : object.items()) {
      if (name.starts_with('_') || std::ranges::find(names, name) != names.end()) continue;
      std::string list;
      for (const auto known : names) list += (list.empty() ? "" : ", ") + std::string(known);
      Fail("there is no such member as \"" + CutText(name, 40) + "\"", where, "known are " + list);
    }
  }
  std::optional<double> MaybeNumber(const Json& object, const char* name, const std::string& where) {
    if (!object.is_object() || !object.contains(name) || object[name].is_null()) return std::nullopt;
    if (!object[name].is_number() || !std::isfinite(object[name].get<double>())) {
      Fail(std::string(name) + " is not a finite number", where, "write a number");
      return std::nullopt;
    }
    return object[name].get<double>();
  }
  double Number(const Json& object, const char* name, const std::string& where, double otherwise) {
    return MaybeNumber(object, name, where).value_or(otherwise);
  }
  double Needed(const Json& object, const char* name, const std::string& where) {
    const auto number = MaybeNumber(object, name, where);
    if (!number) Fail(std::string(name) + " is missing", where, "give it");
    return number.value_or(1.0);
  }
  std::string Word(const Json& object, const char* name, const std::string& where, std::string otherwise) {
    if (!object.is_object() || !object.contains(name)) return otherwise;
    if (object[name].is_string()) return object[name].get<std::string>();
    Fail(std::string(name) + " is not a text", where, "write it in quotes");
    return otherwise;
  }

 private:
  std::optional<Error> error_;
};

ClockLaw ReadLaw(Reader& read, const Json& json, const std::string& where) {
  const std::string word = read.Word(json, "law", where, "exponential");
  ClockLaw law;
  if (word == "exponential") {
    law.scale_min = read.Needed(json, "mean_min", where);
  } else if (word == "weibull" || word == "gamma_mixed") {
    law.kind = word == "weibull" ? LawKind::kWeibull : LawKind::kGammaMixed;
    law.shape = read.Needed(json, "shape", where);
    law.scale_min = read.Needed(json, "scale_min", where);
  } else {
    read.Fail("there is no such law as \"" + CutText(word, 40) + "\"", where, "choose exponential, weibull or gamma_mixed");
  }
  return law;
}

StrategyModel ReadStrategy(Reader& read, const Json& json) {
  StrategyModel strategy;
  strategy.id = read.Word(json, "id", "strategies", "");
  const std::string where = "strategy " + CutText(strategy.id, 40);
  read.Known(json, where, {"id", "can", "law", "mean_min", "shape", "scale_min", "complication_per_min", "contrast_ml_per_min",
                           "kerma_mgy_per_min", "setup_min", "setup_contrast_ml", "setup_kerma_mgy"});
  strategy.can = {read.Needed(json, "can", where)};
  strategy.law = ReadLaw(read, json, where);
  strategy.complication_per_min = read.Number(json, "complication_per_min", where, 0.0);
  strategy.per_min = {1.0, read.Number(json, "contrast_ml_per_min", where, 0.0), read.Number(json, "kerma_mgy_per_min", where, 0.0)};
  strategy.setup = {read.Number(json, "setup_min", where, 0.0), read.Number(json, "setup_contrast_ml", where, 0.0),
                    read.Number(json, "setup_kerma_mgy", where, 0.0)};
  return strategy;
}

void ReadClasses(Reader& read, const Json& json, LadderModel& model) {
  if (!json.is_array()) return read.Fail("classes is not a list", "classes", "write [{\"weight\", \"can\"}]");
  if (json.empty()) return;
  if (json.size() > kMostClasses) return read.Fail("there are more than 16 classes", "classes", "give fewer");
  model.class_weights.clear();
  for (const Json& one : json) {
    read.Known(one, "classes", {"weight", "can"});
    model.class_weights.push_back(read.Needed(one, "weight", "classes"));
    const Json can = one.is_object() && one.contains("can") ? one["can"] : Json::object();
    if (!can.is_object()) return read.Fail("can is not an object", "classes", "write {\"AW\": 0.8}");
    for (StrategyModel& strategy : model.strategies) {
      if (model.class_weights.size() == 1) strategy.can.resize(1);
      const double base = strategy.can.front();
      strategy.can.push_back(read.Number(can, strategy.id.c_str(), "classes", base));
    }
    for (const auto& member : can.items()) {
      const std::string& name = member.key();
      const bool known = std::ranges::any_of(model.strategies, [&](const StrategyModel& s) { return s.id == name; });
      if (!known) read.Fail("no strategy is called \"" + CutText(name, 40) + "\"", "classes", "use the ids of the strategies");
    }
  }
  for (StrategyModel& strategy : model.strategies) strategy.can.erase(strategy.can.begin());  // the chance without classes
}

LadderModel ReadModel(Reader& read, const Json& json) {
  LadderModel model;
  read.Known(json, "the model", {"strategies", "setup_complication_per_min", "budget", "objective", "classes"});
  if (!read.ok()) return model;
  if (!json.contains("strategies") || !json["strategies"].is_array()) {
    read.Fail("strategies is not a list", "the model", "write \"strategies\": [{\"id\", \"can\", ...}]");
    return model;
  }
  for (const Json& one : json["strategies"]) model.strategies.push_back(ReadStrategy(read, one));
  model.setup_complication_per_min = read.Number(json, "setup_complication_per_min", "the model", 0.0);
  const Json budget = json.contains("budget") && !json["budget"].is_null() ? json["budget"] : Json::object();
  read.Known(budget, "budget", {"minutes", "contrast_ml", "kerma_mgy"});
  const Json aim = json.contains("objective") && !json["objective"].is_null() ? json["objective"] : Json::object();
  read.Known(aim, "objective", {"complication_weight", "minute_cost", "stop_value"});
  if (!read.ok()) return model;
  model.budget = {read.MaybeNumber(budget, "minutes", "budget"), read.MaybeNumber(budget, "contrast_ml", "budget"),
                  read.MaybeNumber(budget, "kerma_mgy", "budget")};
  model.objective = {read.Number(aim, "complication_weight", "objective", 1.0), read.Number(aim, "minute_cost", "objective", 0.0),
                     read.Number(aim, "stop_value", "objective", 0.0)};
  if (json.contains("classes") && !json["classes"].is_null()) ReadClasses(read, json["classes"], model);
  return model;
}

Json Digits(double number) { return std::strtod(fmt::format("{:.10g}", number).c_str(), nullptr); }

}  // namespace

Result<LadderModel> ParseLadderModel(std::string_view text) {
  if (text.size() > kMostBytes || NestsDeeper(text, kDeepest)) return Bad("the text is too large or nested too deep", "the model", "give at most 1 MiB");
  const Json json = Json::parse(text.begin(), text.end(), nullptr, false);
  if (json.is_discarded()) return Bad("the text is not JSON", "the model", "check brackets, quotes and commas; numbers must be finite");
  Reader read;
  LadderModel model = ReadModel(read, json);
  if (!read.ok()) return read.error();
  if (auto checked = Check(model); !checked.ok()) return checked.error();
  return model;
}

std::string SolutionJson(const LadderModel& model, const Solution& solution) {
  Json plan = Json::array();
  for (const Rung& rung : solution.plan) {
    plan.push_back(Json{{"id", model.strategies[rung.strategy].id}, {"minutes", rung.minutes}});
  }
  const PlanValue& value = solution.value;
  Json json{{"plan", plan},
            {"utility", Digits(value.utility)},
            {"p_cross", Digits(value.p_cross)},
            {"p_complication", Digits(value.p_complication)},
            {"minutes", Digits(value.expected[kMinutes])},
            {"contrast_ml", Digits(value.expected[kContrastMl])},
            {"kerma_mgy", Digits(value.expected[kKermaMgy])},
            {"at_most", Json{{"minutes", Digits(value.most[kMinutes])},
                             {"contrast_ml", Digits(value.most[kContrastMl])},
                             {"kerma_mgy", Digits(value.most[kKermaMgy])}}},
            {"proven", solution.proven}};
  if (!solution.proven) json["gap"] = Digits(solution.gap);
  return json.dump();
}

}  // namespace fairlead
