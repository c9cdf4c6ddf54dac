// SPDX-License-Identifier: Apache-2.0
// ladder: which way, and when to change.
#include <fmt/core.h>

#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "reasoning/strategy/model_json.h"

namespace fairlead {
namespace {

void PrintSolution(const LadderModel& model, const Solution& solution) {
  std::vector<std::vector<std::string>> rows = {{"strategy", "minutes"}};
  for (const Rung& rung : solution.plan) rows.push_back({model.strategies[rung.strategy].id, fmt::format("{}", rung.minutes)});
  Print(Table(rows));
  const PlanValue& value = solution.value;
  Print(fmt::format("chance to cross {:.3f}, complication {:.4f}, utility {:.4f}", value.p_cross, value.p_complication, value.utility));
  Print(fmt::format("expected {:.0f} min, {:.0f} mL, {:.0f} mGy; at most {:.0f} min, {:.0f} mL, {:.0f} mGy", value.expected[kMinutes],
                    value.expected[kContrastMl], value.expected[kKermaMgy], value.most[kMinutes], value.most[kContrastMl],
                    value.most[kKermaMgy]));
  if (!solution.proven) Print(fmt::format("not proven best: another plan may be better by up to {:.4f}", solution.gap));
}

int SolveModel(const Arguments& arguments) {
  const std::string path = arguments.model.string();
  auto text = ReadText(path);
  if (!text.ok()) return Fail(text.error());
  auto model = ParseLadderModel(*text);
  if (!model.ok()) return Fail(Within(path, model.error()));
  const Solution solution = Solve(*model);
  if (arguments.json) Print(SolutionJson(*model, solution));
  else PrintSolution(*model, solution);
  return 0;
}

}  // namespace

int ShowLadder(const Arguments& arguments) {
  if (arguments.model.empty() == arguments.files.empty()) {
    return Fail(Error{"ladder needs either a file of facts or a model", "", "fairlead ladder FACTS.json, or --model FILE.json", Fault::kUsage});
  }
  return SolveModel(arguments);
}

}  // namespace fairlead
