// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <utility>

#include "casebook/json_depth.h"
#include "reasoning/strategy/priors.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

// One walk serves reading and writing, so that the two cannot drift apart.
class Walk {
 public:
  explicit Walk(Json& json, bool reading) : json_(json), reading_(reading) {}
  bool ok() const { return !error_; }
  const Error& error() const { return *error_; }
  void Fail(std::string what, std::string where, std::string to_do) {
    if (!error_) error_ = Error{std::move(what), std::move(where), std::move(to_do)};
  }

  void Figure(Json& at, const std::string& name, PriorFigure& figure, double low, double high) {
    if (!reading_) {
      at[name] = Json{{"value", figure.value}, {"spread", figure.spread}, {"source", figure.source}};
      return;
    }
    seen_.push_back(name);
    if (!at.contains(name)) return;
    const Json& given = at[name];
    const std::string where = place_.empty() ? "priors" : "priors of " + place_;
    if (given.is_number()) {
      figure.value = given.get<double>();
      figure.source = "the lab's own";
    } else if (given.is_object() && given.contains("value") && given["value"].is_number()) {
      figure.value = given["value"].get<double>();
      figure.source = "the lab's own";
      for (const auto& [member, part] : given.items()) {
        if (member == "value" || member.starts_with('_')) continue;
        if (member == "spread" && part.is_number()) figure.spread = part.get<double>();
        else if (member == "source" && part.is_string()) figure.source = CutText(part.get<std::string>(), 200);
        else return Fail(member == "spread" || member == "source" ? "the " + member + " of " + name + " is of the wrong kind" : name + " has no member called \"" + CutText(member, 40) + "\"", where,
                         "write {\"value\": number, \"spread\": number, \"source\": text}");
      }
    } else {
      return Fail(name + " is neither a number nor {\"value\", \"spread\", \"source\"}", where, "write one of them");
    }
    if (!(figure.value >= low && figure.value <= high)) Fail(name + " is out of range", where, fmt::format("write {:g} to {:g}", low, high));
    if (!(figure.spread >= 0.0 && figure.spread <= 1e4)) Fail("the spread of " + name + " is out of range", where, "write 0 to 10,000");
  }

  void Figures(Json& at, const std::string& name, std::array<PriorFigure, kDifficulties>& figures, double low, double high) {
    if (!reading_) {
      at[name] = Json::object();
    } else {
      seen_.push_back(name);
      if (!at.contains(name)) return;
      if (!at[name].is_object()) return Fail(name + " is not an object", "priors", "write {\"0\", \"1\", \"2\", \"3\"}, by J-CTO");
    }
    const auto kept = seen_;
    const std::string place = place_;
    place_ += (place_.empty() ? "" : ", ") + name + " by J-CTO";
    seen_.clear();
    for (std::size_t j = 0; j < kDifficulties; ++j) Figure(at[name], std::to_string(j), figures[j], low, high);
    NoOthers(at[name], name);
    seen_ = kept;
    place_ = place;
  }

  // Members that nobody asked for are refused: a misspelt one would silently keep the published figure.
  void NoOthers(const Json& at, const std::string& where) {
    if (reading_ && at.is_object()) {
      for (const auto& [name, value] : at.items()) {
        if (name.starts_with('_') || std::find(seen_.begin(), seen_.end(), name) != seen_.end()) continue;
        Fail("there is no such prior as \"" + CutText(name, 40) + "\"", where, "fairlead ladder --print-priors prints those there are");
      }
    }
    seen_.clear();
  }
  void In(std::string place) { place_ = std::move(place); }
  void Saw(std::string name) { seen_.push_back(std::move(name)); }
  bool reading() const { return reading_; }
  Json& json() { return json_; }

 private:
  Json& json_;
  bool reading_;
  std::optional<Error> error_;
  std::vector<std::string> seen_;
  std::string place_{};  // the strategy that is read
};

// {"cap": {"time": 0.4, "fail": 0.4}, ...}: the phases themselves are fixed, their shares are not.
void WalkPhases(Walk& walk, Json& at, PriorStrategy& s) {
  if (!walk.reading()) {
    at["phases"] = Json::object();
    for (const PriorPhase& phase : s.phases) at["phases"][phase.id] = Json{{"words", phase.words}, {"time", phase.time_share}, {"fail", phase.fail_share}};
    return;
  }
  walk.Saw("phases");
  if (!at.contains("phases")) return;
  double time = 0.0, fail = 0.0;
  for (PriorPhase& phase : s.phases) {
    const auto own = at["phases"].is_object() ? at["phases"].find(phase.id) : at["phases"].end();
    if (own == at["phases"].end() || !own->is_object() || !own->contains("time") || !(*own)["time"].is_number() || !own->contains("fail") || !(*own)["fail"].is_number()) {
      return walk.Fail("the phases of " + s.id + " lack \"" + phase.id + "\" with its \"time\" and \"fail\"", "priors", "fairlead ladder --print-priors prints all of them");
    }
    phase.time_share = (*own)["time"].get<double>();
    phase.fail_share = (*own)["fail"].get<double>();
    if (!(phase.time_share >= 0.0 && phase.fail_share >= 0.0)) walk.Fail("a share of phase " + phase.id + " is below 0", "priors", "correct it");
    time += phase.time_share, fail += phase.fail_share;
  }
  if (at["phases"].size() != s.phases.size()) return walk.Fail(s.id + " has phases that are not known", "priors", "keep those that --print-priors prints");
  if (std::abs(time - 1.0) > 1e-6 || std::abs(fail - 1.0) > 1e-6) walk.Fail("the shares of the phases of " + s.id + " do not add up to 1", "priors", "correct them");
}

void WalkStrategy(Walk& walk, Json& at, PriorStrategy& s) {
  walk.Figures(at, "can", s.can, 0.0, 1.0);
  walk.Figures(at, "median_min", s.median_min, 0.1, 600.0);
  walk.Figure(at, "log_sd", s.log_sd, 0.1, 2.5);
  walk.Figure(at, "complication_per_hour", s.complication_per_hour, 0.0, 10.0);
  walk.Figure(at, "contrast_ml_per_min", s.contrast_ml_per_min, 0.0, 50.0);
  walk.Figure(at, "kerma_mgy_per_min", s.kerma_mgy_per_min, 0.0, 1000.0);
  walk.Figure(at, "setup_min", s.setup_min, 0.0, 240.0);
  walk.Figure(at, "setup_contrast_ml", s.setup_contrast_ml, 0.0, 500.0);
  walk.Figure(at, "setup_kerma_mgy", s.setup_kerma_mgy, 0.0, 5000.0);
  walk.Figure(at, "least_work_min", s.least_work_min, 0.0, 240.0);
  walk.Figure(at, "phase_shares", s.phase_shares, 0.0, 0.0);
  WalkPhases(walk, at, s);
}

void WalkPriors(Walk& walk, Priors& p) {
  Json& at = walk.json();
  walk.Saw("version"), walk.Saw("owner"), walk.Saw("own_attempts"), walk.Saw("strategies");
  walk.Figure(at, "retrograde_usable", p.retrograde_usable, 0.0, 1.0);
  walk.Figure(at, "retrograde_not_usable", p.retrograde_not_usable, 0.0, 1.0);
  walk.Figure(at, "retrograde_cc2", p.retrograde_cc2, 0.0, 1.0);
  walk.Figure(at, "difficulty_spread", p.difficulty_spread, 0.0, 0.5);
  walk.Figure(at, "setup_complication_per_hour", p.setup_complication_per_hour, 0.0, 10.0);
  walk.Figure(at, "complication_weight", p.complication_weight, 0.0, 1000.0);
  walk.Figure(at, "minute_cost", p.minute_cost, 0.0, 1.0);
  walk.Figure(at, "stop_worth", p.stop_worth, 0.0, 1.0);
  walk.Figure(at, "come_back_worth", p.come_back_worth, 0.0, 1.0);
  walk.Figure(at, "come_back_success", p.come_back_success, 0.0, 1.0);
  walk.Figure(at, "come_back_prepared", p.come_back_prepared, 0.0, 1.0);
  walk.Figure(at, "come_back_not_across", p.come_back_not_across, 0.0, 1.0);
  walk.Figure(at, "come_back_odds_per_90_days", p.come_back_odds_per_90_days, 0.01, 100.0);
  walk.Figure(at, "come_back_before_60_days", p.come_back_before_60_days, 0.0, 1.0);
  walk.Figure(at, "come_back_after_60_days", p.come_back_after_60_days, 0.0, 1.0);
  walk.Figure(at, "session_min", p.session_min, 0.0, 600.0);
  walk.Figure(at, "reserve_min", p.reserve_min, 0.0, 600.0);
  walk.Figure(at, "reserve_contrast_ml", p.reserve_contrast_ml, 0.0, 1000.0);
  walk.Figure(at, "reserve_kerma_mgy", p.reserve_kerma_mgy, 0.0, 20000.0);
  walk.Figure(at, "contrast_per_egfr", p.contrast_per_egfr, 0.0, 20.0);
  walk.Figure(at, "kerma_limit_mgy", p.kerma_limit_mgy, 0.0, 50000.0);
  walk.NoOthers(at, "priors");
  if (!walk.reading()) at["strategies"] = Json::object();
  else if (!at.contains("strategies")) return;
  else if (!at["strategies"].is_object()) return walk.Fail("strategies is not an object", "priors", "write {\"AW\": {...}}");
  for (PriorStrategy& s : p.strategies) {
    if (walk.reading() && !at["strategies"].contains(s.id)) continue;
    Json& own = at["strategies"][s.id];
    if (walk.reading() && !own.is_object()) return walk.Fail(s.id + " is not an object", "priors", "write {\"can\": ...}");
    walk.In(s.id);
    WalkStrategy(walk, own, s);
    walk.NoOthers(own, s.id);
    walk.In("");
  }
  if (!walk.reading()) return;
  for (const PriorStrategy& s : p.strategies) walk.Saw(s.id);
  walk.NoOthers(at["strategies"], "strategies");
}

}  // namespace

std::string CutText(std::string text, std::size_t most) {
  if (text.size() <= most) return text;
  while (most > 0 && (static_cast<unsigned char>(text[most]) & 0xC0U) == 0x80U) --most;  // not inside a character
  text.resize(most);
  return text;
}

Result<Priors> ParsePriors(std::string_view text) {
  Priors priors = PublishedPriors();
  if (text.size() > (1U << 20)) return Error{"the text is larger than 1 MiB", "priors", "give less"};
  // A member that stands twice would silently count once.
  std::vector<std::set<std::string>> names;
  std::string twice;
  const auto watch = [&](int, Json::parse_event_t event, Json& parsed) {
    if (event == Json::parse_event_t::object_start) names.emplace_back();
    else if (event == Json::parse_event_t::object_end && !names.empty()) names.pop_back();
    else if (event == Json::parse_event_t::key && !names.empty() && !names.back().insert(parsed.get<std::string>()).second && twice.empty()) twice = parsed.get<std::string>();
    return true;
  };
  if (NestsDeeper(text, 16)) return Error{"the text is nested too deep", "priors", "keep to the form of --print-priors"};
  Json json = Json::parse(text.begin(), text.end(), watch, false);
  if (!json.is_object()) return Error{"the text is not a JSON object", "priors", "check brackets, quotes and commas"};
  Walk walk(json, true);
  WalkPriors(walk, priors);
  if (!walk.ok()) return walk.error();
  if (!twice.empty()) return Error{"\"" + CutText(twice, 40) + "\" stands twice in one object", "priors", "keep one of them"};
  for (const auto& [name, text_of] : {std::pair{"version", &priors.version}, std::pair{"owner", &priors.owner}}) {
    if (!json.contains(name)) continue;
    if (!json[name].is_string()) return Error{std::string(name) + " is not a text", "priors", "write it in quotes"};
    *text_of = CutText(json[name].get<std::string>(), 64);
  }
  if (json.contains("own_attempts")) {
    const Json& own = json["own_attempts"];
    if (!own.is_number_unsigned() || own.get<std::uint64_t>() > 1'000'000) return Error{"own_attempts is not a count", "priors", "write a whole number, or leave it out"};
    priors.own_attempts = own.get<int>();
  }
  return priors;
}

std::string PriorsJson(const Priors& priors) {
  Json json{{"version", priors.version}, {"owner", priors.owner}, {"own_attempts", priors.own_attempts}};
  Walk walk(json, false);
  Priors copy = priors;
  WalkPriors(walk, copy);
  return json.dump(1);
}

}  // namespace fairlead
