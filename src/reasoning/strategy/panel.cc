// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/panel.h"

#include <utility>

namespace fairlead {
Result<LadderAnswer> AnswerLadder(LadderInput input, const LadderWish& wish) {
  auto ladder = BuildLadder(input);
  if (!ladder.ok()) return ladder.error();
  LadderAnswer answer{std::move(input), std::move(*ladder), {}, {}, std::nullopt};
  answer.outlook = Look(answer.ladder, answer.input.priors, wish.draws);
  if (wish.algorithms) answer.algorithms = AdviseAll(answer.input.facts, answer.input.session.skills);
  if (wish.doubts > 0) answer.doubts = Doubt(answer.ladder, answer.input.priors, answer.outlook, wish.doubts);
  return answer;
}

}  // namespace fairlead
