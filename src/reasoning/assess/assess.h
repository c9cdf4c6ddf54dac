// SPDX-License-Identifier: Apache-2.0
// Everything computed from the facts of a case: all scores, what they wait for, where they disagree.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "casebook/derive.h"
#include "casebook/fact.h"
#include "reasoning/score/score.h"

namespace fairlead {

struct Disagreement {
  std::string text;
  std::vector<std::string> scores;  // ids
};

struct Assessment {
  std::vector<ScoreResult> scores;                          // in the order of AllScores; channels in order of name
  std::map<std::string, std::vector<std::string>> waiting;  // fact -> ids of the scores that lack it
  std::vector<Disagreement> disagreement;
  std::vector<Remark> remarks;
};

// `facts` as stated; derived facts are added here.
Assessment Assess(const Facts& facts, const ScoreSettings& settings = {});

}  // namespace fairlead
