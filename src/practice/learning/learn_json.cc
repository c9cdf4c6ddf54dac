// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cstdlib>
#include <nlohmann/json.hpp>

#include "practice/learning/learn.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

Json Short(double number) { return std::strtod(fmt::format("{:.6g}", number).c_str(), nullptr); }

Json FigureJson(const LearnedFigure& figure) {
  return Json{{"published", Short(figure.published)}, {"own", Short(figure.own)}, {"low", Short(figure.low)}, {"high", Short(figure.high)}, {"share_own", Short(figure.share)}};
}

Json ListOf(const auto& numbers) {
  Json list = Json::array();
  for (const double number : numbers) list.push_back(Short(number));
  return list;
}

Json GroupsJson(const LearnedStrategy& s) {
  static constexpr std::array<const char*, kDifficulties> kNames = {"0", "1", "2", "3 or more"};
  Json list = Json::array();
  for (std::size_t g = 0; g < kDifficulties; ++g) {
    const LearnedGroup& group = s.groups[g];
    list.push_back(Json{{"j_cto", kNames[g]}, {"attempts", group.attempts}, {"crossed", group.crossed}, {"can", FigureJson(group.can)}, {"median_min", FigureJson(group.median_min)},
                        {"by_30", FigureJson(group.by_30)}, {"can_if", ListOf(group.can_if)}, {"by_30_if", ListOf(group.by_30_if)}});
  }
  return list;
}

Json SeenJson(const std::vector<SurvivalStep>& steps) {
  Json list = Json::array();
  for (const SurvivalStep& step : steps) {
    list.push_back(Json{{"minutes", Short(step.minutes)}, {"at_risk", step.at_risk}, {"crossed_by", Short(step.crossed_by)}, {"crossed_sd", Short(step.crossed_sd)},
                        {"complicated_by", Short(step.complicated_by)}, {"kaplan_meier", Short(step.kaplan_meier)}, {"low", Short(step.low)}, {"high", Short(step.high)}});
  }
  return list;
}

Json StrategyJson(const LearnedStrategy& s) {
  return Json{{"id", s.id}, {"words", s.words}, {"attempts", s.attempts}, {"crossed", s.crossed}, {"complications", s.complications}, {"stopped", s.stopped}, {"planned", s.planned},
              {"later_in_case", s.later_in_case}, {"minutes", Short(s.minutes)}, {"watched_min", Short(s.watched_min)}, {"groups", GroupsJson(s)}, {"complications_per_hour", FigureJson(s.complications_per_hour)},
              {"ceiling_told", s.ceiling_told}, {"seen", SeenJson(s.seen)}, {"every_min", 5}, {"published_by", ListOf(s.published_by)}, {"own_by", ListOf(s.own_by)}};
}

}  // namespace

std::string LearnedJson(const Learned& learned, const Priors& in_force) {
  Json strategies = Json::array(), says = Json::array(), steps = Json::array();
  for (const StepShare& each : learned.steps) {
    steps.push_back(Json{{"reason", each.reason}, {"step", each.step}, {"tried", each.tried}, {"worked", each.worked}, {"low", Short(each.band.low)}, {"high", Short(each.band.high)}});
  }
  for (const LearnedStrategy& s : learned.strategies) strategies.push_back(StrategyJson(s));
  for (const std::string& text : learned.says) says.push_back(text);
  const auto& shown = learned.stops_shown;
  return Json{{"date", learned.date}, {"attempts", learned.attempts}, {"cases", learned.cases}, {"invented", learned.invented},
              {"left_out", Json{{"no_difficulty", learned.no_difficulty}, {"open", learned.open}, {"unknown_strategy", learned.unknown_strategy}}},
              {"stops_shown", Json{{"nothing", shown[0]}, {"before", shown[1]}, {"within", shown[2]}, {"after", shown[3]}}},
              {"stop_ratio", kStopRatio}, {"stop_ratios", ListOf(kStopRatios)}, {"by_minutes", kByMinutes}, {"strategies", strategies}, {"steps", steps}, {"steps_open", learned.steps_open}, {"says", says},
              {"in_force", Json{{"version", in_force.version}, {"own_attempts", in_force.own_attempts}}},
              {"proposal", Json::parse(PriorsJson(learned.proposal))}}
      .dump();
}

}  // namespace fairlead
