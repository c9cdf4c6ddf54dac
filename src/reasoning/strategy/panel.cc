// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/panel.h"

#include <utility>

namespace fairlead {
Result<LadderAnswer> AnswerLadder(LadderInput input, const LadderWish& wish, const std::stop_token& gone) {
  auto ladder = BuildLadder(input);
  if (!ladder.ok()) return ladder.error();
  LadderAnswer answer{std::move(input), std::move(*ladder), {}, {}, std::nullopt};
  answer.outlook = Look(answer.ladder, answer.input.priors, wish.draws, &gone);
  if (wish.algorithms) answer.algorithms = AdviseAll(answer.input.facts, answer.input.session.skills);
  if (wish.doubts > 0) answer.doubts = Doubt(answer.ladder, answer.input.priors, answer.outlook, wish.doubts, &gone);
  if (gone.stop_requested()) return Error{"nobody waits for the answer", "", "ask again"};
  return answer;
}

}  // namespace fairlead
