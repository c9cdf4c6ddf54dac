// SPDX-License-Identifier: Apache-2.0
#include "reasoning/score/note.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "reasoning/score/outcome.h"

namespace fairlead {
namespace {

bool IsYes(const Beliefs& beliefs, const char* name) {
  const auto* flag = std::get_if<FlagOdds>(&Look(beliefs, *FindFact(name)));
  return flag != nullptr && flag->yes == 1.0;
}

const Number* NumberOf(const Beliefs& beliefs, const char* name) {
  return std::get_if<Number>(&Look(beliefs, *FindFact(name)));
}

bool UsesFact(const ScoreDefinition& score, std::string_view fact) {
  return std::ranges::any_of(score.items, [fact](const ScoreItem& item) { return item.levels[0].test.fact == fact; });
}

void AboutTheGroup(ScoreResult& result) {
  if (result.missing.empty() || result.reachable_groups.size() != 1 || result.definition->groups.size() < 2) return;
  const auto n = result.missing.size();
  result.notes.push_back(
      fmt::format("Group {} despite {} missing fact{}.", result.reachable_groups[0], n, n == 1 ? "" : "s"));
}

void AboutTheRates(ScoreResult& result) {
  const auto& score = *result.definition;
  const bool withheld =
      std::ranges::any_of(score.rates, [&score](const RateTable& table) { return !MayShow(score, table); });
  if (withheld && score.status == ScoreStatus::kCheck) {
    result.notes.push_back("Its published rates are not shown: " + std::string(score.status_why) + ".");
  } else if (withheld) {
    result.notes.push_back(
        "A column of rates is not shown: it is from memory and not yet checked against the article.");
  }
}

// Exactly on the cut-off of J-CTO's length.
void AboutTwentyMillimetres(const Beliefs& beliefs, const ScoreSettings& settings, ScoreResult& result) {
  const auto* length = NumberOf(beliefs, "length_angio_mm");
  if (length == nullptr || length->sd.value_or(0.0) > 0.0 || length->value != 20.0) return;
  if (settings.j_cto_length_at_20_mm == AtTwenty::kUnknown) {
    result.notes.push_back(
        "A length of exactly 20 mm counts on the score sheet and does not in the summary: both are kept.");
  } else {
    result.notes.push_back("A length of exactly 20 mm is read as this practice has set it.");
  }
}

void AboutInvestment(const Beliefs& beliefs, ScoreResult& result) {
  const auto* attempts = NumberOf(beliefs, "previous_failed_attempts");
  if (attempts == nullptr || attempts->value < 1.0 || !IsYes(beliefs, "investment_last_attempt")) return;
  result.notes.push_back(
      "The last attempt was an investment: it counts as failed here, yet success afterwards was 96 % against 71 % "
      "without "
      "(1,156 patients, Heart 2016;102:1486).");
}

void AboutBothStrategies(const Beliefs& beliefs, ScoreResult& result) {
  const bool retrograde = IsYes(beliefs, "attempted_rw") || IsYes(beliefs, "attempted_rdr");
  if (!retrograde || !IsYes(beliefs, "attempted_adr")) return;
  result.notes.push_back(
      "Dissection and retrograde were both used: retrograde alone is counted; if they add, the total is "
      "one point higher.");
}

// The volume at which the group of the kidney score changes next.
void AboutContrast(const Beliefs& beliefs, ScoreResult& result) {
  const auto* contrast = NumberOf(beliefs, "contrast_ml");
  if (contrast == nullptr || !result.totals || result.totals->size() != 1) return;
  const auto& score = *result.definition;
  const auto halves = static_cast<std::size_t>(2.0 * result.totals->begin()->first);
  const auto now = GroupOf(score, halves);
  for (int more = 1; more <= 17; ++more) {
    if (GroupOf(score, halves + 2U * static_cast<unsigned>(more)) == now) continue;
    const double volume = 100.0 * (std::floor(contrast->value / 100.0) + more);
    result.notes.push_back(fmt::format("The group changes at {:.0f} mL of contrast.", volume));
    return;
  }
}

void AboutAKnownStrategy(const Beliefs& beliefs, ScoreResult& result) {
  const auto* strategy = std::get_if<GradeOdds>(&Look(beliefs, *FindFact("strategy_category")));
  if (strategy == nullptr || strategy->odds.size() != 1 || strategy->odds[0].first == "retrograde") return;
  result.notes.push_back("Made for a primary retrograde attempt, and another strategy is stated.");
}

// Numbers without a spread are compared as they stand; where they lie near a cut-off the answer is less sure than
// shown.
void AboutBareNumbers(const Beliefs& beliefs, ScoreResult& result) {
  std::string names;
  for (const auto& item : result.definition->items) {
    const FactRow& row = *FindFact(item.levels[0].test.fact);
    const auto* number = std::get_if<Number>(&Look(beliefs, row));
    if (row.type != FactType::kReading || number == nullptr || number->sd) continue;
    if (names.find(row.name) == std::string::npos) names += (names.empty() ? "" : ", ") + std::string(row.name);
  }
  if (!names.empty()) result.notes.push_back("Taken as exact, spread unknown: " + names + ".");
}

}  // namespace

void AddNotes(const Beliefs& beliefs, const ScoreSettings& settings, ScoreResult& result) {
  const auto& score = *result.definition;
  AboutTheGroup(result);
  if (score.id == "j-cto") AboutTwentyMillimetres(beliefs, settings, result);
  if (UsesFact(score, "previous_failed_attempts")) AboutInvestment(beliefs, result);
  if (score.id == "perforation-2023") AboutBothStrategies(beliefs, result);
  if (UsesFact(score, "contrast_ml")) AboutContrast(beliefs, result);
  if (score.id == "jr-cto") AboutAKnownStrategy(beliefs, result);
  AboutTheRates(result);
  AboutBareNumbers(beliefs, result);
}

}  // namespace fairlead
