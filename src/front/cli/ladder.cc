// SPDX-License-Identifier: Apache-2.0
// ladder: which way, and when to change.
#include <fmt/core.h>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "reasoning/strategy/model_json.h"
#include "reasoning/strategy/outlook_json.h"

namespace fairlead {
namespace {

constexpr std::string_view kCaution =
    "Published figures, not yours; figures marked assumed are nobody's. The optimum is flat: a minute more or less makes no odds.\n"
    "For trained operators. Local protocols and the responsible physician decide.";

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
}

void PrintLadder(const LadderAnswer& answer) {
  for (const FitView& fit : answer.outlook.fits) Print(FitSentence(answer.ladder, fit, answer.priors));
  std::vector<std::vector<std::string>> rows = {{"rung", "minutes", "makes no odds", "chance", "harm per 1,000", "mL", "mGy"}};
  for (const RungView& rung : answer.outlook.rungs) {
    rows.push_back({answer.ladder.strategies[rung.strategy].id, fmt::format("about {}", rung.minutes), fmt::format("{} to {}", rung.flat_from, rung.flat_to),
                    InTens(rung.p_cross) + (rows.size() > 1 ? " of what is left" : ""), fmt::format("{:.0f}", 1000 * rung.harm),
                    fmt::format("{:.0f}", rung.expected[kContrastMl]), fmt::format("{:.0f}", rung.expected[kKermaMgy])});
  }
  rows.push_back({"come back", "", "", InTens(answer.priors.come_back_success.value) + " later, where the plaque was opened", "", "", ""});
  rows.push_back({"stop", "", "", "", "0", "", ""});
  Print(Table(rows));
  const Outlook& outlook = answer.outlook;
  Print(fmt::format("all of it: {} ({:.0f} to {:.0f} in 100), harm {:.0f} per 1,000 ({:.0f} to {:.0f})", InTens(outlook.solution.value.p_cross),
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
  for (const std::string& text : answer.ladder.assumptions) Print("assumed: " + text);
  for (const std::string& text : answer.ladder.left_out) Print("left out: " + text);
  Print(kCaution);
}

// The text of a file that may be absent; empty if no file was named.
Result<std::string> Maybe(const std::filesystem::path& path) {
  if (path.empty()) return std::string();
  return ReadText(path.string());
}

Result<LadderInput> ReadInput(const Arguments& arguments) {
  LadderInput input;
  auto text = ReadText(arguments.files.front().string());
  if (!text.ok()) return text.error();
  auto facts = ParseFacts(*text);
  if (!facts.ok()) return Within(arguments.files.front().string(), facts.error());
  input.facts = WithDerived(*facts);
  auto budget = Maybe(arguments.budget);
  if (!budget.ok()) return budget.error();
  if (!budget->empty()) {
    auto limits = ParseLimits(*budget);
    if (!limits.ok()) return Within(arguments.budget.string(), limits.error());
    input.limits = *limits;
  }
  auto own = Maybe(arguments.priors);
  if (!own.ok()) return own.error();
  if (!own->empty()) {
    auto priors = ParsePriors(*own);
    if (!priors.ok()) return Within(arguments.priors.string(), priors.error());
    input.priors = *priors;
  }
  return input;
}

int LadderOfFacts(const Arguments& arguments) {
  auto input = ReadInput(arguments);
  if (!input.ok()) return Fail(input.error());
  auto ladder = BuildLadder(*input);
  if (!ladder.ok()) return Fail(ladder.error());
  const Outlook outlook = Look(*ladder, input->priors);
  std::vector<AlgorithmAdvice> algorithms;
  for (const Algorithm& each : PublishedAlgorithms()) algorithms.push_back(Advise(each, AnswersFrom(input->facts), input->skills));
  const LadderAnswer answer{*ladder, input->priors, outlook, algorithms, Doubt(*ladder, input->priors, outlook), 0};
  if (arguments.json) Print(LadderJson(answer));
  else PrintLadder(answer);
  return 0;
}

}  // namespace

int ShowLadder(const Arguments& arguments) {
  if (arguments.print_priors) {
    Print(PriorsJson(PublishedPriors()));
    return 0;
  }
  if (arguments.model.empty() == arguments.files.empty()) {
    return Fail(Error{"ladder needs either a file of facts or a model", "", "fairlead ladder FACTS.json, or --model FILE.json", Fault::kUsage});
  }
  return arguments.model.empty() ? LadderOfFacts(arguments) : SolveModel(arguments);
}

}  // namespace fairlead
