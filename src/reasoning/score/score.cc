// SPDX-License-Identifier: Apache-2.0
#include "reasoning/score/score.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "reasoning/score/finding.h"
#include "reasoning/score/note.h"
#include "reasoning/score/outcome.h"
#include "reasoning/score/total.h"

namespace fairlead {
namespace {

std::vector<std::string> MissingOf(std::span<const Part> parts) {
  std::vector<std::string> missing;
  for (const auto& part : parts) missing.insert(missing.end(), part.missing.begin(), part.missing.end());
  return missing;
}

PointOdds OddsOf(const TotalLaw& law) {
  PointOdds odds;
  for (std::size_t halves = 0; halves < law.size(); ++halves) {
    if (law[halves] > kNegligible) odds[0.5 * static_cast<double>(halves)] = law[halves];
  }
  return odds;
}

// Total, reachable totals and groups: shared by the whole score and by each strategy's column.
struct Summary {
  std::optional<PointOdds> totals;
  std::vector<double> reachable;
  std::optional<std::map<std::string, double>> group;
  std::vector<std::string> reachable_groups;
};

Summary Summarised(const ScoreDefinition& score, std::span<const TotalLaw> laws, bool nothing_missing) {
  std::set<std::size_t> halves;
  for (const auto& law : laws) {
    for (std::size_t i = 0; i < law.size(); ++i) {
      if (law[i] > kNegligible) halves.insert(i);
    }
  }
  Summary summary;
  std::set<std::size_t> groups;
  for (const auto i : halves) {
    summary.reachable.push_back(0.5 * static_cast<double>(i));
    if (GroupOf(score, i) < score.groups.size()) groups.insert(GroupOf(score, i));
  }
  for (const auto group : groups) summary.reachable_groups.emplace_back(score.groups[group].name);
  if (!nothing_missing) return summary;
  summary.totals = OddsOf(laws[0]);
  summary.group.emplace();
  for (const auto& [total, odds] : *summary.totals) {
    const auto group = GroupOf(score, static_cast<std::size_t>(2.0 * total));
    if (group < score.groups.size()) (*summary.group)[std::string(score.groups[group].name)] += odds;
  }
  return summary;
}

// Sets `applies` and its reasons. False if the score certainly does not apply.
bool Applies(const Beliefs& beliefs, const ScoreSettings& settings, ScoreResult& result) {
  for (const auto& exclusion : result.definition->exclusions) {
    const auto excluded = ProbabilityOf(exclusion.test, beliefs, settings);
    if (excluded == 1.0) {
      result.applies = false;
      result.why = exclusion.why;
      return false;
    }
    if (excluded == 0.0 || (!excluded && !exclusion.ask)) continue;
    result.excluded_probability = excluded;
    result.condition_facts.emplace_back(exclusion.test.fact);
    result.why = std::string(exclusion.why);
    result.notes.push_back(excluded
                               ? fmt::format("With a probability of {:.2f} it does not apply: {}. What is shown holds "
                                             "if it applies.",
                                             *excluded, exclusion.why)
                               : fmt::format("Not known whether it applies ({} is missing): {}. What is shown holds "
                                             "if it applies.",
                                             exclusion.test.fact, exclusion.why));
  }
  return true;
}

std::vector<ItemResult> ItemsOf(const ScoreDefinition& score, const Beliefs& beliefs, const ScoreSettings& settings) {
  std::vector<ItemResult> items;
  for (const auto& item : score.items) {
    const std::array<Slot, 1> slot{Slot{&item}};
    const auto parts = PartsOf(slot, beliefs, settings);
    ItemResult result{std::string(item.id), std::string(item.label), {}, MissingOf(parts)};
    if (result.missing.empty() && score.status != ScoreStatus::kHold) {
      const auto laws = TotalLaws(parts);
      result.points = OddsOf(laws[0]);
    }
    items.push_back(std::move(result));
  }
  return items;
}

std::vector<StrategyColumn> ColumnsOf(const ScoreDefinition& score, const Beliefs& beliefs,
                                      const ScoreSettings& settings) {
  std::vector<StrategyColumn> columns;
  if (!score.by_strategy) return columns;
  for (const auto* strategy : {"antegrade", "dissection", "retrograde"}) {
    const Belief instead = GradeOdds{{{strategy, 1.0}}};
    const Beliefs what_if{beliefs.facts, beliefs.of, "strategy_category", &instead};
    const auto parts = PartsOf(SlotsOf(score), what_if, settings);
    const auto laws = TotalLaws(parts);
    const auto summary = Summarised(score, laws, MissingOf(parts).empty());
    columns.push_back({strategy, summary.totals, summary.reachable.front(), summary.reachable.back(),
                       summary.reachable_groups, Outcomes(score, parts, laws)});
  }
  return columns;
}

}  // namespace

ScoreResult Evaluate(const ScoreDefinition& score, const Facts& facts, const std::string& of,
                     const ScoreSettings& settings) {
  const Beliefs beliefs{facts, of};
  ScoreResult result;
  result.definition = &score;
  result.of = of;
  if (!Applies(beliefs, settings, result)) return result;
  if (score.status == ScoreStatus::kHold) {
    FillFindings(beliefs, settings, result);
    result.notes.push_back("No total: " + std::string(score.status_why) + ".");
    return result;
  }
  const auto parts = PartsOf(SlotsOf(score), beliefs, settings);
  const auto laws = TotalLaws(parts);
  result.missing = MissingOf(parts);
  const auto summary = Summarised(score, laws, result.missing.empty());
  result.totals = summary.totals;
  result.reachable = summary.reachable;
  result.low = summary.reachable.front();
  result.high = summary.reachable.back();
  result.group = summary.group;
  result.reachable_groups = summary.reachable_groups;
  result.outcome = Outcomes(score, parts, laws);
  result.items = ItemsOf(score, beliefs, settings);
  result.decides = DecidingFact(score, parts);
  result.by_strategy = ColumnsOf(score, beliefs, settings);
  AddNotes(beliefs, settings, result);
  return result;
}

}  // namespace fairlead
