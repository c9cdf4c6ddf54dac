// SPDX-License-Identifier: Apache-2.0
#include "reasoning/assess/disagreement.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "reasoning/score/outcome.h"
#include "reasoning/score/total.h"

namespace fairlead {
namespace {

constexpr double kWorthSaying = 0.25;  // chosen

Band BandOf(const ScoreDefinition& score, int halves) {
  const auto group = GroupOf(score, static_cast<std::size_t>(halves));
  return group < score.groups.size() ? score.groups[group].band : Band::kNone;
}

Band BandOf(const ScoreDefinition& score, const std::string& group) {
  const auto found = std::ranges::find(score.groups, group, &ScoreGroup::name);
  return found == score.groups.end() ? Band::kNone : found->band;
}

bool IsDifficulty(const ScoreResult& result) {
  const auto& score = *result.definition;
  return result.applies && score.status != ScoreStatus::kHold &&
         (score.question == Question::kWire || score.question == Question::kSuccess);
}

// Chance of a band, if the missing facts leave it settled.
std::optional<double> ChanceOf(const ScoreResult& result, Band band) {
  const auto& score = *result.definition;
  if (result.group) {
    double chance = 0.0;
    for (const auto& [name, odds] : *result.group) chance += BandOf(score, name) == band ? odds : 0.0;
    return chance;
  }
  const auto in_band = [&](const std::string& name) { return BandOf(score, name) == band; };
  if (std::ranges::all_of(result.reachable_groups, in_band)) return 1.0;
  if (std::ranges::none_of(result.reachable_groups, in_band)) return 0.0;
  return std::nullopt;
}

std::string LikeliestGroup(const ScoreResult& result, Band band) {
  std::string likeliest;
  double most = -1.0;
  if (result.group) {
    for (const auto& [name, odds] : *result.group) {
      if (BandOf(*result.definition, name) != band || odds <= most) continue;
      likeliest = name;
      most = odds;
    }
  } else if (!result.reachable_groups.empty()) {
    likeliest = result.reachable_groups.front();
    for (std::size_t i = 1; i < result.reachable_groups.size(); ++i) likeliest += " or " + result.reachable_groups[i];
  }
  return likeliest;
}

std::optional<Disagreement> Disagree(const ScoreResult& high, const ScoreResult& low, const Facts& facts,
                                     const ScoreSettings& settings) {
  const auto chance_high = ChanceOf(high, Band::kHigh), chance_low = ChanceOf(low, Band::kLow);
  if (!chance_high || !chance_low || *chance_high < kWorthSaying || *chance_low < kWorthSaying) return std::nullopt;
  const bool both_known = high.group && low.group;
  // A score settled in spite of missing facts is certain, so that the product is the joint chance.
  const double chance =
      both_known ? ChanceOfHighAndLow(*high.definition, *low.definition, facts, settings) : *chance_high * *chance_low;
  if (chance < kWorthSaying) return std::nullopt;
  return Disagreement{
      fmt::format("{} says {} and asks: {}. {} says {} and asks: {}. Both at once with a probability of {:.2f}.",
                  high.definition->name, LikeliestGroup(high, Band::kHigh), high.definition->endpoint,
                  low.definition->name, LikeliestGroup(low, Band::kLow), low.definition->endpoint, chance),
      {std::string(high.definition->id), std::string(low.definition->id)}};
}

}  // namespace

double ChanceOfHighAndLow(const ScoreDefinition& high, const ScoreDefinition& low, const Facts& facts,
                          const ScoreSettings& settings) {
  auto slots = SlotsOf(high);
  const auto more = SlotsOf(low, true);
  slots.insert(slots.end(), more.begin(), more.end());
  std::map<std::pair<int, int>, double> law{{{0, 0}, 1.0}};
  for (const auto& part : PartsOf(slots, {facts, ""}, settings)) {
    std::map<std::pair<int, int>, double> next;
    for (const auto& [total, odds] : law) {
      for (const auto& piece : part.completions[0]) {
        next[{total.first + piece.halves, total.second + piece.other_halves}] += odds * piece.probability;
      }
    }
    law = std::move(next);
  }
  double chance = 0.0;
  for (const auto& [total, odds] : law) {
    if (BandOf(high, total.first) == Band::kHigh && BandOf(low, total.second) == Band::kLow) chance += odds;
  }
  return chance;
}

std::vector<Disagreement> Disagreements(const std::vector<ScoreResult>& results, const Facts& facts,
                                        const ScoreSettings& settings) {
  std::vector<Disagreement> all;
  for (const auto& high : results) {
    for (const auto& low : results) {
      if (&high == &low || !IsDifficulty(high) || !IsDifficulty(low)) continue;
      if (auto found = Disagree(high, low, facts, settings)) all.push_back(std::move(*found));
    }
  }
  return all;
}

}  // namespace fairlead
