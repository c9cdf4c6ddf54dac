// SPDX-License-Identifier: Apache-2.0
#include "reasoning/score/score_table.h"

#include <algorithm>
#include <vector>

namespace fairlead {

std::span<const ScoreDefinition* const> AllScores() {
  static const auto scores = [] {
    std::vector<const ScoreDefinition*> all;
    for (const auto part :
         {WireScores(), SuccessScores(), ChannelScores(), HarmScores(), KidneyScores(), HeldScores()}) {
      all.insert(all.end(), part.begin(), part.end());
    }
    return all;
  }();
  return scores;
}

const ScoreDefinition* FindScore(std::string_view id) {
  const auto scores = AllScores();
  const auto found = std::ranges::find(scores, id, &ScoreDefinition::id);
  return found == scores.end() ? nullptr : *found;
}

}  // namespace fairlead
