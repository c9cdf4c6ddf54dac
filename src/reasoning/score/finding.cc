// SPDX-License-Identifier: Apache-2.0
#include "reasoning/score/finding.h"

#include <algorithm>
#include <array>

namespace fairlead {
namespace {

// EuroIntervention, 10.4244/EIJ-D-18-00993, validation: share of channels crossed in the easy, intermediate and
// difficult group. Septal channels first, then the others.
struct ChannelRates {
  double easy, intermediate, difficult;
};
constexpr ChannelRates kSeptalRates{0.929, 0.574, 0.167};
constexpr ChannelRates kOtherRates{0.917, 0.543, 0.190};

std::optional<bool> IsSeptal(const Beliefs& beliefs) {
  const auto* kind = std::get_if<GradeOdds>(&Look(beliefs, *FindFact("collateral_channel")));
  if (kind == nullptr || kind->odds.size() != 1) return std::nullopt;
  return kind->odds[0].first == "septal";
}

bool CountsFor(const ScoreItem& item, bool septal) {
  return item.id == "continuous" ? septal : item.id == "corkscrew" ? !septal : true;
}

void ChannelBounds(const Beliefs& beliefs, ScoreResult& result) {
  const auto septal = IsSeptal(beliefs);
  if (!septal) {
    result.missing.insert(result.missing.begin(), "collateral_channel");
    return;
  }
  bool any_present = false, any_open = false;
  for (std::size_t i = 0; i < result.findings.size(); ++i) {
    if (!CountsFor(result.definition->items[i], *septal)) continue;
    const auto& odds = result.findings[i].probability;
    any_present = any_present || odds == 1.0;
    any_open = any_open || (odds != 1.0 && odds != 0.0);
  }
  const auto& rates = *septal ? kSeptalRates : kOtherRates;
  OutcomeResult outcome{"wire through the channel",
                        {},
                        {},
                        {},
                        "j-channel-2020"_source,
                        "validation; bounds that hold for any positive points",
                        "seen"};
  outcome.low = any_present || any_open ? rates.difficult : rates.easy;
  outcome.high = any_present ? rates.intermediate : rates.easy;
  if (!any_present && !any_open) outcome.value = rates.easy;
  result.outcome.push_back(std::move(outcome));
  result.reachable_groups = any_present ? std::vector<std::string>{"intermediate", "difficult"}
                            : any_open  ? std::vector<std::string>{"easy", "intermediate", "difficult"}
                                        : std::vector<std::string>{"easy"};
  // A finding that is no item for this kind of channel is neither counted nor asked for.
  for (std::size_t i = result.findings.size(); i-- > 0;) {
    if (CountsFor(result.definition->items[i], *septal)) continue;
    std::erase(result.missing, result.findings[i].facts[0]);
    result.findings.erase(result.findings.begin() + static_cast<std::ptrdiff_t>(i));
  }
}

}  // namespace

std::optional<double> ProbabilityOf(const Test& test, const Beliefs& beliefs, const ScoreSettings& settings) {
  const std::array<Test, 1> tests{test};
  const FactRow& row = *FindFact(test.fact);
  const auto laws = Completions(row, Look(beliefs, row), CutOffsOf(tests, 0.0), settings);
  std::optional<double> probability;
  for (const auto& law : laws) {
    double holds = 0.0;
    for (const auto& cell : law) holds += Holds(test, cell) ? cell.probability : 0.0;
    if (probability && *probability != holds) return std::nullopt;
    probability = holds;
  }
  return probability;
}

void FillFindings(const Beliefs& beliefs, const ScoreSettings& settings, ScoreResult& result) {
  for (const auto& item : result.definition->items) {
    const auto& level = item.levels[0];
    const std::string fact(level.test.fact);
    const auto probability = ProbabilityOf(level.test, beliefs, settings);
    result.findings.push_back({std::string(level.when), {fact}, probability, item.favourable});
    if (!probability && std::ranges::find(result.missing, fact) == result.missing.end()) result.missing.push_back(fact);
  }
  if (result.definition->id == "j-channel") ChannelBounds(beliefs, result);
}

}  // namespace fairlead
