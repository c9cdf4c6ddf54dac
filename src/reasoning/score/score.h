// SPDX-License-Identifier: Apache-2.0
// A published score on uncertain facts: the exact distribution of its total, and what missing facts could still change.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "casebook/fact.h"
#include "reasoning/score/definition.h"

namespace fairlead {

// Where the source of a score contradicts itself, the practice may choose.
enum class AtTwenty { kUnknown, kCounts, kCountsNot };
struct ScoreSettings {
  AtTwenty j_cto_length_at_20_mm = AtTwenty::kUnknown;  // summary "> 20 mm", score sheet ">= 20 mm"
};

using PointOdds = std::map<double, double>;  // points or total -> probability

struct ItemResult {
  std::string id;
  std::string label;
  std::optional<PointOdds> points;  // nullopt while one of its facts is missing, and on HOLD
  std::vector<std::string> missing;
};

// A published outcome mixed over the distribution of the total. All three are absent where the figure rests on memory
// or the status of the score forbids it. With missing facts only low and high are there: over every completion.
struct OutcomeResult {
  std::string what;
  std::optional<double> value, low, high;  // shares in [0, 1], or factors
  SourceId source;
  std::string cohort;
  std::string checked;  // "seen", "memory", "computed"
  bool factor = false;  // an odds ratio: how many times the odds of the reference; not a chance
};

// HOLD scores: one finding that counts against (or for) the patient.
struct Finding {
  std::string label;
  std::vector<std::string> facts;
  std::optional<double> probability;  // nullopt: unknown
  bool favourable = false;
};

struct Decides {
  std::string fact;
  std::string what;
};

// The part of a result that depends on the strategy, for one strategy.
struct StrategyColumn {
  std::string strategy;  // "antegrade", "dissection", "retrograde"
  std::optional<PointOdds> totals;
  double low = 0.0, high = 0.0;
  std::vector<std::string> reachable_groups;
  std::vector<OutcomeResult> outcome;
};

struct ScoreResult {
  const ScoreDefinition* definition = nullptr;
  std::string of;  // collateral channel, for scores of a channel
  bool applies = true;
  std::string why;                             // why it does not apply; or, if it applies, on what condition
  std::optional<double> excluded_probability;  // chance that it does not apply, if that is uncertain
  std::vector<std::string> condition_facts;    // facts that would settle whether it applies
  std::optional<PointOdds> totals;             // only where nothing is missing
  double low = 0.0, high = 0.0;                // whatever the missing facts turn out to be
  std::vector<double> reachable;
  std::vector<std::string> missing;
  std::optional<std::map<std::string, double>> group;
  std::vector<std::string> reachable_groups;
  std::vector<OutcomeResult> outcome;
  std::vector<ItemResult> items;
  std::vector<Finding> findings;  // HOLD only
  std::optional<Decides> decides;
  std::vector<StrategyColumn> by_strategy;
  std::vector<std::string> notes;
};

// `facts` with derived ones added (WithDerived). `of` names the channel for a score of a channel, else empty.
ScoreResult Evaluate(const ScoreDefinition& score, const Facts& facts, const std::string& of = {},
                     const ScoreSettings& settings = {});

}  // namespace fairlead
