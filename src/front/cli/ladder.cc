// SPDX-License-Identifier: Apache-2.0
// ladder: which way, and when to change, for a file of facts; or the solver alone, on a model from a file.
#include <fmt/core.h>

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/server/run_ladder.h"
#include "reasoning/strategy/model_json.h"
#include "reasoning/strategy/outlook_json.h"
#include "reasoning/strategy/outlook_text.h"

namespace fairlead {
namespace {

constexpr std::string_view kModelCaution =
    "Every figure follows from the model that was given, and the best is flat: some minutes more or less make no odds. "
    "For trained operators; local protocols and the responsible physician decide.";
constexpr std::string_view kCaution =
    "Published figures, not yours; figures marked assumed are nobody's. The optimum is flat: a minute more or less makes no odds.\n"
    "For trained operators. Local protocols and the responsible physician decide.";

void PrintSolution(const LadderModel& model, const Solution& solution) {
  if (solution.plan.empty()) {
    Print("no plan: within its budgets nothing in the model is worth more than stopping");
    return Print(kModelCaution);
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
  Print(kModelCaution);
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

std::string StepsText(const AlgorithmAdvice& advice) {
  std::string text;
  for (const auto& step : advice.steps) {
    text += text.empty() ? "" : " > ";
    for (std::size_t i = 0; i < step.size(); ++i) text += (i == 0 ? "" : " or ") + std::string(IdOf(step[i]));
  }
  return text;
}

std::string FirstText(const AlgorithmAdvice& advice) {
  std::string text;
  for (const FirstTechnique& first : advice.first) {
    if (first.high < 0.005) continue;
    text += (text.empty() ? "" : ", ") + std::string(IdOf(first.technique));
    if (first.high - first.low > 0.005) text += fmt::format(" {:.0f}-{:.0f} %", 100 * first.low, 100 * first.high);
    else if (first.low < 0.995) text += fmt::format(" {:.0f} %", 100 * first.low);
  }
  return text;
}

void PrintAlgorithms(const std::vector<AlgorithmAdvice>& algorithms) {
  std::vector<std::vector<std::string>> rows = {{"published", "first", "would decide", "order on the likeliest branch"}};
  for (const AlgorithmAdvice& advice : algorithms) {
    rows.push_back({std::string(advice.algorithm->name), FirstText(advice), advice.decides ? std::string(FactOf(*advice.decides)) : "", StepsText(advice)});
  }
  Print(Table(rows));
  const auto camps = CampsOf(algorithms);
  std::string text;
  for (const Camp& camp : camps) {
    text += fmt::format("{}{} of {} begin with {}{}", text.empty() ? "" : "; ", camp.algorithms.size(), algorithms.size(), camp.family, camp.open ? " (may change with facts that are missing)" : "");
  }
  const bool open = std::ranges::any_of(camps, &Camp::open);
  Print((camps.size() > 1 ? "they disagree: " : open ? "as far as the facts go: " : "they agree: ") + text);
}

std::string PlanText(const Ladder& ladder, const std::vector<Rung>& plan) {
  std::string text;
  for (const Rung& rung : plan) text += fmt::format("{}{}", text.empty() ? "" : ", ", ladder.strategies[rung.strategy].id);
  return text.empty() ? "stop" : text;
}

void PrintTwoWays(const LadderAnswer& answer) {
  if (!answer.outlook.patience) return;
  const Patience& patience = *answer.outlook.patience;
  std::vector<std::vector<std::string>> rows = {{"two ways on", "plan", "to finish within the limits", "harm per 1,000"}};
  const auto add = [&](std::string name, const WayOn& way) {
    rows.push_back({std::move(name), PlanText(answer.ladder, way.plan), fmt::format("{} ({:.0f} to {:.0f} in 100)", InTens(way.p_cross), 100 * way.band.low, 100 * way.band.high),
                    fmt::format("{:.0f} ({:.0f} to {:.0f})", 1000 * way.harm, 1000 * way.harm_band.low, 1000 * way.harm_band.high)});
  };
  add(answer.ladder.current ? "change now" : "without the first", patience.change_now);
  add(MoreWords(answer), patience.ten_more);
  Print(Table(rows));
  Print(fmt::format("{}; kept to the end of the limits: {}", DifferenceSentence(answer), InTens(patience.kept_to_end)));
}

void PrintLadder(const LadderAnswer& answer) {
  for (const FitView& fit : answer.outlook.fits) Print(FitSentence(answer.ladder, fit, answer.input.priors));
  if (const std::string nothing = NothingSentence(answer); !nothing.empty()) Print(nothing);
  if (const std::string flat = FlatSentence(answer); !flat.empty()) Print(flat);
  PrintTwoWays(answer);
  std::vector<std::vector<std::string>> rows = {{"rung", "minutes", "makes no odds", "chance", "harm per 1,000", "mL", "mGy"}};
  for (const RungView& rung : answer.outlook.rungs) {
    rows.push_back({answer.ladder.strategies[rung.strategy].id, fmt::format("about {}", rung.minutes), fmt::format("{} to {}", rung.flat_from, rung.flat_to),
                    InTens(rung.p_cross) + (rows.size() > 1 ? " of what is left" : ""), fmt::format("{:.0f}", 1000 * rung.harm),
                    fmt::format("{:.0f}", rung.expected[kContrastMl]), fmt::format("{:.0f}", rung.expected[kKermaMgy])});
  }
  rows.push_back({"come back", "", "", InTens(answer.input.priors.come_back_success.value) + " later, on the whole", "", "", ""});
  rows.push_back({"stop", "", "", SymptomsSentence(answer.input.facts), "0", "", ""});
  Print(Table(rows));
  const Outlook& outlook = answer.outlook;
  if (!outlook.rungs.empty()) Print(fmt::format("all of it: {} ({:.0f} to {:.0f} in 100), harm {:.0f} per 1,000 ({:.0f} to {:.0f})", InTens(outlook.solution.value.p_cross),
                    100 * outlook.p_cross.low, 100 * outlook.p_cross.high, 1000 * outlook.solution.value.p_complication, 1000 * outlook.harm.low, 1000 * outlook.harm.high));
  PrintAlgorithms(answer.algorithms);
  if (answer.doubts) {
    std::string shares;
    for (const OrderShare& share : answer.doubts->shares) {
      if (share.share >= 0.05) shares += fmt::format("{}{} in {:.0f} of 100", shares.empty() ? "" : "; ", share.order, 100 * share.share);
    }
    Print("orders that the priors hold best: " + shares);
    for (const WhatIf& each : answer.doubts->what_if) {
      if (!each.same_order) Print(fmt::format("would change the order: {} -> {}", each.what, each.order));
    }
  }
  Print(AssumesSentence(answer.ladder, answer.input.priors));
  for (const std::string& text : answer.ladder.assumptions) Print("assumed: " + text);
  for (const std::string& text : answer.ladder.left_out) Print("left out: " + text);
  Print(kCaution);
}

// The priors asked for: of a file, else of the lab's knowledge, else the published ones.
Result<Priors> PriorsAsked(const Arguments& arguments) {
  if (!arguments.priors.empty()) {
    auto text = ReadText(arguments.priors.string());
    if (!text.ok()) return text.error();
    auto priors = ParsePriors(*text);
    return priors.ok() ? priors : Result<Priors>(Within(arguments.priors.string(), priors.error()));
  }
  auto lab = ReadLab(arguments);
  if (!lab.ok()) return lab.error();
  return PriorsOf(*lab);
}

Result<LadderInput> ReadInput(const Arguments& arguments) {
  LadderInput input;
  const std::string path = arguments.files.front().string();
  auto text = ReadText(path);
  if (!text.ok()) return text.error();
  auto facts = ParseFacts(*text);
  if (!facts.ok()) return Within(path, facts.error());
  input.facts = WithDerived(*facts);
  auto priors = PriorsAsked(arguments);
  if (!priors.ok()) return priors.error();
  input.priors = *priors;
  if (arguments.budget.empty()) return input;
  auto budget = ReadText(arguments.budget.string());
  if (!budget.ok()) return budget.error();
  auto session = ParseSession(*budget);
  if (!session.ok()) return Within(arguments.budget.string(), session.error());
  input.session = *session;
  return input;
}

int LadderOfFacts(const Arguments& arguments) {
  auto input = ReadInput(arguments);
  if (!input.ok()) return Fail(input.error());
  const auto answer = AnswerLadder(*input, {.draws = 200, .doubts = 60});
  if (!answer.ok()) return Fail(answer.error());
  if (arguments.json) Print(LadderJson(*answer));
  else PrintLadder(*answer);
  return 0;
}

}  // namespace

int ShowLadder(const Arguments& arguments) {
  if (arguments.print_priors) {
    const auto priors = PriorsAsked(arguments);
    if (!priors.ok()) return Fail(priors.error());
    Print(PriorsJson(*priors));
    return 0;
  }
  if (arguments.model.empty() && arguments.files.size() == 1 && arguments.files.front() == "learn") return LearnLadder(arguments);
  if (arguments.model.empty() == arguments.files.empty()) {
    return Fail(Error{"ladder needs either a file of facts or a model", "", "fairlead ladder FACTS.json, or --model FILE.json", Fault::kUsage});
  }
  return arguments.model.empty() ? LadderOfFacts(arguments) : SolveModel(arguments);
}

}  // namespace fairlead
