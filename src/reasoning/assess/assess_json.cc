// SPDX-License-Identifier: Apache-2.0
#include "reasoning/assess/assess_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "reasoning/score/outcome.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

// Rounded to ten digits, so that every machine prints the same bytes.
Json Rounded(double number) {
  return std::strtod(fmt::format("{:.10g}", number).c_str(), nullptr);
}
Json Rounded(const std::optional<double>& number) {
  return number ? Rounded(*number) : Json(nullptr);
}

Json List(const auto& words) {
  Json list = Json::array();
  for (const auto& word : words) list.push_back(word);
  return list;
}

Json SourceList(const ScoreDefinition& score) {
  Json list = Json::array();
  for (const auto source : score.sources) list.push_back(source.id);
  return list;
}

Json OddsJson(const PointOdds& odds) {
  Json object = Json::object();
  for (const auto& [points, probability] : odds) object[PointsText(points)] = Rounded(probability);
  return object;
}

std::string_view StatusWord(ScoreStatus status) {
  switch (status) {
    case ScoreStatus::kFull:
      return "FULL";
    case ScoreStatus::kCheck:
      return "CHECK";
    case ScoreStatus::kPoints:
      return "POINTS";
    case ScoreStatus::kHold:
      return "HOLD";
  }
  return "";
}

std::string_view QuestionWord(Question question) {
  switch (question) {
    case Question::kWire:
      return "wire";
    case Question::kSuccess:
      return "success";
    case Question::kChannel:
      return "channel";
    case Question::kHarm:
      return "harm";
    case Question::kKidney:
      return "kidney";
  }
  return "";
}

std::string_view PolarityWord(Polarity polarity) {
  switch (polarity) {
    case Polarity::kHigherIsHarder:
      return "higher is harder";
    case Polarity::kHigherIsRiskier:
      return "higher is riskier";
    case Polarity::kHigherIsEasier:
      return "higher is easier";
  }
  return "";
}

Json DefinitionItem(const ScoreItem& item) {
  Json facts = Json::array();
  Json points = Json::array();
  for (const auto& level : item.levels) {
    if (std::ranges::find(facts, level.test.fact) == facts.end()) facts.push_back(level.test.fact);
    points.push_back({{"points", level.points}, {"when", level.when}});
  }
  return {{"id", item.id}, {"label", item.label}, {"facts", facts}, {"points", points}};
}

// Only what may be shown has figures.
Json DefinitionRates(const ScoreDefinition& score) {
  Json rates = Json::array();
  for (const auto& table : score.rates) {
    Json by_group = nullptr;
    if (MayShow(score, table)) {
      by_group = Json::array();
      for (std::size_t i = 0; i < table.rates.size(); ++i) {
        by_group.push_back(
            {{"group", score.groups[i].name}, {"low", table.rates[i].low}, {"high", table.rates[i].high}});
      }
    }
    rates.push_back({{"what", table.what},
                     {"cohort", table.cohort},
                     {"source", table.source.id},
                     {"checked", table.checked == Checked::kSeen ? "seen" : "memory"},
                     {"by_group", by_group}});
  }
  return rates;
}

Json DefinitionJson(const ScoreDefinition& score) {
  Json items = Json::array(), groups = Json::array();
  for (const auto& item : score.items) items.push_back(DefinitionItem(item));
  for (const auto& group : score.groups)
    groups.push_back({{"low", group.low}, {"high", group.high}, {"name", group.name}});
  return {{"id", score.id},
          {"name", score.name},
          {"question", QuestionWord(score.question)},
          {"endpoint", score.endpoint},
          {"polarity", PolarityWord(score.polarity)},
          {"status", StatusWord(score.status)},
          {"status_why", score.status_why},
          {"low", score.low},
          {"high", score.high},
          {"step", score.step},
          {"items", items},
          {"groups", groups},
          {"rates", DefinitionRates(score)},
          {"by_strategy", score.by_strategy},
          {"per_channel", score.per_channel},
          {"population", score.population},
          {"not_for", score.not_for},
          {"performance", score.performance},
          {"sources", SourceList(score)}};
}

Json OutcomeJson(const std::vector<OutcomeResult>& outcomes) {
  Json list = Json::array();
  for (const auto& outcome : outcomes) {
    list.push_back({{"what", outcome.what},
                    {"unit", outcome.factor ? "times" : "share"},
                    {"value", Rounded(outcome.value)},
                    {"low", Rounded(outcome.low)},
                    {"high", Rounded(outcome.high)},
                    {"source", outcome.source.id},
                    {"cohort", outcome.cohort},
                    {"checked", outcome.checked}});
  }
  return list;
}

Json ItemsJson(const ScoreResult& result) {
  Json list = Json::array();
  for (const auto& item : result.items) {
    list.push_back({{"id", item.id},
                    {"label", item.label},
                    {"points", item.points ? OddsJson(*item.points) : Json(nullptr)},
                    {"missing", List(item.missing)}});
  }
  return list;
}

Json FindingsJson(const ScoreResult& result) {
  Json list = Json::array();
  for (const auto& finding : result.findings) {
    list.push_back({{"label", finding.label},
                    {"facts", List(finding.facts)},
                    {"probability", Rounded(finding.probability)},
                    {"favourable", finding.favourable}});
  }
  return list;
}

Json ColumnsJson(const ScoreResult& result) {
  Json list = Json::array();
  for (const auto& column : result.by_strategy) {
    Json one = {{"strategy", column.strategy}};
    if (column.totals) one["totals"] = OddsJson(*column.totals);
    one["low"] = column.low;
    one["high"] = column.high;
    one["reachable_groups"] = List(column.reachable_groups);
    one["outcome"] = OutcomeJson(column.outcome);
    list.push_back(std::move(one));
  }
  return list;
}

void AddTotals(const ScoreResult& result, Json& json) {
  if (result.totals) json["totals"] = OddsJson(*result.totals);
  const bool counted = result.applies && result.definition->status != ScoreStatus::kHold;
  if (counted) {
    json["low"] = result.low;
    json["high"] = result.high;
  }
  json["reachable"] = result.reachable;
  json["missing"] = List(result.missing);
  json["group"] = nullptr;
  if (result.group) {
    json["group"] = Json::object();
    for (const auto& [name, odds] : *result.group) json["group"][name] = Rounded(odds);
  }
  json["reachable_groups"] = List(result.reachable_groups);
}

Json ResultJson(const ScoreResult& result) {
  const auto& score = *result.definition;
  Json json = {
      {"id", score.id}, {"name", score.name}, {"status", StatusWord(score.status)}, {"applies", result.applies}};
  if (!result.why.empty()) json["why"] = result.why;
  if (!result.of.empty()) json["of"] = result.of;
  if (!result.condition_facts.empty()) {
    json["condition"] = {{"facts", List(result.condition_facts)},
                         {"excluded_probability", Rounded(result.excluded_probability)}};
  }
  AddTotals(result, json);
  json["outcome"] = OutcomeJson(result.outcome);
  json["items"] = ItemsJson(result);
  if (!result.findings.empty()) json["findings"] = FindingsJson(result);
  if (!result.by_strategy.empty()) json["by_strategy"] = ColumnsJson(result);
  json["decides"] = nullptr;
  if (result.decides) json["decides"] = {{"fact", result.decides->fact}, {"what", result.decides->what}};
  json["assumed"] = Json::object();
  json["notes"] = List(result.notes);
  json["sources"] = SourceList(score);
  return json;
}

Json ResultList(const Assessment& assessment, std::string_view only) {
  Json list = Json::array();
  for (const auto& result : assessment.scores) {
    if (only.empty() || result.definition->id == only) list.push_back(ResultJson(result));
  }
  return list;
}

}  // namespace

std::string ScoreDefinitionsJson() {
  Json list = Json::array();
  for (const auto* score : AllScores()) list.push_back(DefinitionJson(*score));
  return Json{{"scores", list}}.dump();
}

std::string ScoreResultJson(const ScoreResult& result) {
  return ResultJson(result).dump();
}

std::string ScoresJson(const Assessment& assessment, std::string_view only) {
  return Json{{"scores", ResultList(assessment, only)}}.dump();
}

std::string AssessmentJson(const Assessment& assessment, std::int64_t seq) {
  Json waiting = Json::object(), disagreement = Json::array(), remarks = Json::array();
  for (const auto& [fact, scores] : assessment.waiting) waiting[fact] = List(scores);
  for (const auto& one : assessment.disagreement) {
    disagreement.push_back({{"text", one.text}, {"scores", List(one.scores)}});
  }
  for (const auto& one : assessment.remarks) remarks.push_back({{"text", one.text}, {"because", List(one.because)}});
  return Json{{"seq", seq},
              {"scores", ResultList(assessment, "")},
              {"waiting", waiting},
              {"disagreement", disagreement},
              {"remarks", remarks}}
      .dump();
}

}  // namespace fairlead
