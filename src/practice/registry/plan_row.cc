// SPDX-License-Identifier: Apache-2.0
#include "practice/registry/plan_row.h"

#include <algorithm>
#include <cmath>

#include "reasoning/score/definition.h"
#include "reasoning/score/score.h"

namespace fairlead {
namespace {

std::optional<RowFact> FactOf(const RowFactKind& kind, const Belief& belief) {
  if (const auto* flag = std::get_if<FlagOdds>(&belief)) {
    if (flag->yes == 0.5) return std::nullopt;
    return RowFact(flag->yes > 0.5);
  }
  if (const auto* grade = std::get_if<GradeOdds>(&belief)) {
    const auto best = std::max_element(grade->odds.begin(), grade->odds.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
    if (best == grade->odds.end() || best->first == "unseen") return std::nullopt;
    return RowFact(best->first);
  }
  if (const auto* number = std::get_if<Number>(&belief); number != nullptr && kind.words.empty()) return RowFact(number->value);
  return std::nullopt;
}

// The most probable total; nothing while a missing fact could still change it.
std::optional<int> JctoOf(const Facts& facts) {
  const ScoreDefinition* score = FindScore("j-cto");
  if (score == nullptr) return std::nullopt;
  const ScoreResult found = Evaluate(*score, facts);
  if (!found.applies) return std::nullopt;
  if (!found.totals || found.totals->empty()) return found.low == found.high ? std::optional<int>(static_cast<int>(std::lround(found.low))) : std::nullopt;
  const auto best = std::max_element(found.totals->begin(), found.totals->end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  return static_cast<int>(std::lround(best->first));
}

std::string VesselOf(const Facts& facts) {
  const auto* grade = std::get_if<GradeOdds>(&BeliefOf(facts, {"occluded_vessel", ""}));
  if (grade == nullptr || grade->odds.empty()) return {};
  return std::max_element(grade->odds.begin(), grade->odds.end(), [](const auto& a, const auto& b) { return a.second < b.second; })->first;
}

}  // namespace

void TakeFacts(CaseRow& row, const Facts& facts) {
  row.vessel = VesselOf(facts);
  row.j_cto = JctoOf(facts);
  for (const RowFactKind& kind : RowFacts()) {
    if (auto fact = FactOf(kind, BeliefOf(facts, {std::string(kind.name), ""}))) row.facts[std::string(kind.name)] = std::move(*fact);
  }
}

}  // namespace fairlead
