// SPDX-License-Identifier: Apache-2.0
#include "reasoning/assess/assess.h"

#include <algorithm>
#include <set>

#include "reasoning/assess/disagreement.h"

namespace fairlead {
namespace {

// Channels of which something is stated; the unnamed one if nothing is.
std::set<std::string> ChannelsOf(const Facts& facts) {
  std::set<std::string> channels;
  for (const auto& [key, belief] : facts) {
    const FactRow* row = FindFact(key.name);
    if (row != nullptr && row->per_channel && !std::holds_alternative<Unknown>(belief)) channels.insert(key.of);
  }
  if (channels.empty()) channels.insert("");
  return channels;
}

void AddWaiting(const ScoreResult& result, std::map<std::string, std::vector<std::string>>& waiting) {
  if (!result.applies || result.definition->status == ScoreStatus::kHold) return;
  for (const auto* facts : {&result.missing, &result.condition_facts}) {
    for (const auto& fact : *facts) {
      auto& scores = waiting[fact];
      if (std::ranges::find(scores, result.definition->id) == scores.end()) scores.emplace_back(result.definition->id);
    }
  }
}

}  // namespace

Assessment Assess(const Facts& facts, const ScoreSettings& settings) {
  const Facts all = WithDerived(facts);
  const auto channels = ChannelsOf(all);
  Assessment assessment;
  for (const auto* score : AllScores()) {
    if (!score->per_channel) {
      assessment.scores.push_back(Evaluate(*score, all, "", settings));
      continue;
    }
    for (const auto& channel : channels) assessment.scores.push_back(Evaluate(*score, all, channel, settings));
  }
  for (const auto& result : assessment.scores) AddWaiting(result, assessment.waiting);
  assessment.disagreement = Disagreements(assessment.scores, all, settings);
  assessment.remarks = Contradictions(all);
  return assessment;
}

}  // namespace fairlead
