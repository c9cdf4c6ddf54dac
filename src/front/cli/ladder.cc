// SPDX-License-Identifier: Apache-2.0
// ladder: the solver alone, on a model from a file.
#include <fmt/core.h>

#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "reasoning/strategy/model_json.h"

namespace fairlead {
namespace {

constexpr std::string_view kCaution =
    "Every figure follows from the model that was given, and the best is flat: some minutes more or less make no odds. "
    "For trained operators; local protocols and the responsible physician decide.";

void PrintSolution(const LadderModel& model, const Solution& solution) {
  if (solution.plan.empty()) {
    Print("no plan: within its budgets nothing in the model is worth more than stopping");
    return Print(kCaution);
  }
  std::vector<std::vector<std::string>> rows = {{"strategy", "minutes"}};
  for (const Rung& rung : solution.plan) rows.push_back({model.strategies[rung.strategy].id, fmt::format("{}", rung.minutes)});
  Print(Table(rows));
  const PlanValue& value = solution.value;
  Print(fmt::format("chance to cross {:.3f}, complication {:.4f}, utility {:.4f}", value.p_cross, value.p_complication, value.utility));
  Print(fmt::format("expected {:.0f} min, {:.0f} mL, {:.0f} mGy; at most {:.0f} min, {:.0f} mL, {:.0f} mGy", value.expected[kMinutes],
                    value.expected[kContrastMl], value.expected[kKermaMgy], value.most[kMinutes], value.most[kContrastMl],
                    value.most[kKermaMgy]));
  if (!solution.proven) Print(fmt::format("not proven best: another plan may be better by up to {:.4f}", solution.gap));
  Print(kCaution);
}

}  // namespace

int ShowLadder(const Arguments& arguments) {
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

}  // namespace fairlead
