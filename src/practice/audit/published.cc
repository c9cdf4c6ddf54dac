// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/published.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>
#include <utility>

#include "reasoning/score/outcome.h"

namespace fairlead {
namespace {

struct Meaning {
  std::string_view what;
  YardstickEvent event;
  bool of_good;
};
constexpr Meaning kMeanings[] = {{"technical failure", YardstickEvent::kFailure, false},
                                 {"opening of the occlusion", YardstickEvent::kFailure, true},
                                 {"in-hospital complication", YardstickEvent::kComplication, false},
                                 {"in-hospital MACE", YardstickEvent::kComplication, false},
                                 {"wire across within 30 min", YardstickEvent::kNotWithin30, true},
                                 {"antegrade wire crossing", YardstickEvent::kNotAntegrade, true}};

std::vector<Yardstick> AllYardsticks() {
  std::vector<Yardstick> all;
  std::vector<const ScoreDefinition*> scores;
  for (const ScoreDefinition* score : AllScores()) {
    for (const RateTable& table : score->rates) {
      const auto means = std::find_if(std::begin(kMeanings), std::end(kMeanings), [&](const Meaning& each) { return each.what == table.what; });
      if (means == std::end(kMeanings) || !MayShow(*score, table) || score->per_channel) continue;
      auto slot = std::find(scores.begin(), scores.end(), score);
      if (slot == scores.end()) {
        if (scores.size() == kMostYardstickScores) continue;
        slot = scores.insert(scores.end(), score);
      }
      all.push_back({score, &table, means->event, means->of_good, static_cast<std::size_t>(slot - scores.begin())});
    }
  }
  return all;
}

// A fact of the row as the tables ask for it: a number, or a word ("yes" and "no" for a flag).
struct Told {
  std::optional<double> number;
  std::string_view word;
  bool known = false;
};
Told ToldOf(const CaseRow& row, std::string_view fact) {
  Told told;
  if (fact == "occluded_vessel" || fact == "strategy_category") {
    told.word = fact == "occluded_vessel" ? std::string_view(row.vessel) : StrategyCategoryOf(row);
    told.known = !told.word.empty();
    return told;
  }
  const auto found = row.facts.find(fact);
  if (found == row.facts.end()) return told;
  told.known = true;
  if (const bool* flag = std::get_if<bool>(&found->second)) told.word = *flag ? "yes" : "no";
  else if (const double* number = std::get_if<double>(&found->second)) told.number = *number;
  else told.word = std::get<std::string>(found->second);
  return told;
}

std::optional<bool> Answer(const Test& test, const CaseRow& row) {
  const Told told = ToldOf(row, test.fact);
  if (!told.known) return std::nullopt;
  const bool listed = std::find(test.words.begin(), test.words.end(), told.word) != test.words.end();
  switch (test.compare) {
    case Compare::kIn: return listed;
    case Compare::kNotIn: return !listed;
    case Compare::kNotDeterminable: return false;
    case Compare::kAtLeast: return told.number ? std::optional(*told.number >= test.cut) : std::nullopt;
    case Compare::kAbove: return told.number ? std::optional(*told.number > test.cut) : std::nullopt;
    case Compare::kAtMost: return told.number ? std::optional(*told.number <= test.cut) : std::nullopt;
    case Compare::kBelow: return told.number ? std::optional(*told.number < test.cut) : std::nullopt;
    case Compare::kAboveAmbiguous: return told.number && *told.number != test.cut ? std::optional(*told.number > test.cut) : std::nullopt;
  }
  return std::nullopt;
}

// Lowest and highest points of an item: the same unless a fact is missing.
std::pair<double, double> PointsOf(const ScoreItem& item, const CaseRow& row) {
  if (item.per > 0) {
    const Told told = ToldOf(row, item.levels[0].test.fact);
    const double points = told.number ? std::floor(*told.number / item.per) : 0;
    return told.number ? std::pair(points, points) : std::pair(0.0, 1e9);
  }
  double low = 1e9, high = -1e9;
  const auto may = [&](double points) { low = std::min(low, points), high = std::max(high, points); };
  for (const Level& level : item.levels) {
    const auto answer = Answer(level.test, row);
    if (answer && !*answer) continue;
    may(level.points);
    if (answer) return {low, high};
  }
  may(0);
  return {low, high};
}

std::int8_t GroupOfTotal(const ScoreDefinition& score, double total) {
  for (std::size_t i = 0; i < score.groups.size(); ++i) {
    if (total >= score.groups[i].low && total <= score.groups[i].high) return static_cast<std::int8_t>(i);
  }
  return kGroupUnknown;
}

}  // namespace

std::string_view EventWord(YardstickEvent event) {
  switch (event) {
    case YardstickEvent::kFailure: return "technical failure";
    case YardstickEvent::kComplication: return "major complication";
    case YardstickEvent::kNotWithin30: return "no antegrade wire across within 30 min";
    case YardstickEvent::kNotAntegrade: return "no antegrade wire across";
  }
  return "";
}

std::span<const Yardstick> Yardsticks() {
  static const std::vector<Yardstick> kAll = AllYardsticks();
  return kAll;
}

std::string_view StrategyCategoryOf(const CaseRow& row) {
  bool dissection = false, retrograde = false;
  for (const Try& made : row.tries) {
    if (made.strategy == "RW" || made.strategy == "RDR") retrograde = true;
    else if (made.strategy == "ADR") dissection = true;
    else if (made.strategy != "AW") return {};
  }
  return row.tries.empty() ? "" : retrograde ? "retrograde" : dissection ? "dissection" : "antegrade";
}

std::int8_t GroupOfRow(const ScoreDefinition& score, const CaseRow& row) {
  for (const Exclusion& exclusion : score.exclusions) {
    if (Answer(exclusion.test, row).value_or(false)) return kGroupNot;
  }
  if (score.id == "j-cto") return row.j_cto ? GroupOfTotal(score, *row.j_cto) : kGroupUnknown;  // the row has the total itself
  double low = 0, high = 0;
  for (const ScoreItem& item : score.items) {
    const auto [least, most] = PointsOf(item, row);
    low += least, high += most;
  }
  const std::int8_t group = GroupOfTotal(score, low);
  return group >= 0 && group == GroupOfTotal(score, std::min(high, score.high)) ? group : kGroupUnknown;
}

}  // namespace fairlead
