// SPDX-License-Identifier: Apache-2.0
// "Which way?" as one answer: from a case's facts, the priors and the session to JSON text.
#pragma once

#include <cstdint>
#include <stop_token>
#include <string>
#include <vector>

#include "reasoning/strategy/outlook.h"

namespace fairlead {

struct LadderAnswer {
  LadderInput input;
  Ladder ladder;
  Outlook outlook;
  std::vector<AlgorithmAdvice> algorithms;
  std::optional<Doubts> doubts;  // asked for apart: they take longer
};

struct LadderWish {
  int draws = 200;      // behind each band
  bool algorithms = true;
  int doubts = 0;       // draws with a solution each, behind the shares of orders
};
// Errors: what BuildLadder says; that nobody waits for the answer, once `gone` was asked to stop.
Result<LadderAnswer> AnswerLadder(LadderInput input, const LadderWish& wish = {}, const std::stop_token& gone = {});

}  // namespace fairlead
