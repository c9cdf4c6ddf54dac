// SPDX-License-Identifier: Apache-2.0
// How far the priors fix the order, and what would change it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "reasoning/strategy/outlook.h"

namespace fairlead {
namespace {

SolveSettings Quick(const std::stop_token* gone) { return {.most_looks = 60'000, .divisions = 4, .gone = gone}; }

// "7 in 10".
std::string Tens(double p) { return fmt::format("{:.0f} in 10", 10.0 * p); }

void Shift(StrategyModel& strategy, double by) {
  for (double& can : strategy.can) can = std::clamp(can + by, 0.0, 1.0);
}

WhatIf Asked(const Ladder& ladder, const LadderModel& model, std::string what, const std::string& order, const std::stop_token* gone) {
  const Solution solution = Solve(model, Quick(gone));
  WhatIf answer{std::move(what), OrderOf(ladder, solution.plan), false, solution.value.p_cross};
  answer.same_order = answer.order == order;
  return answer;
}

// Each chance one standard deviation up and down, each time half and twice.
std::vector<WhatIf> WhatIfs(const Ladder& ladder, const std::string& order, const std::stop_token* gone) {
  std::vector<WhatIf> answers;
  for (std::size_t k = 0; k < ladder.strategies.size(); ++k) {
    const LadderStrategy& way = ladder.strategies[k];
    const double sd = std::sqrt(way.can * (1.0 - way.can) / (way.can_spread + 1.0));
    for (const double by : {-sd, sd}) {
      LadderModel model = ladder.model;
      Shift(model.strategies[k], by);
      answers.push_back(Asked(ladder, model, fmt::format("{} can cross {} instead of {}", way.id, Tens(std::clamp(way.can + by, 0.0, 1.0)), Tens(way.can)), order, gone));
    }
    for (const double times : {0.5, 2.0}) {
      LadderModel model = ladder.model;
      model.strategies[k].law.scale_min *= times;
      answers.push_back(Asked(ladder, model, fmt::format("{} takes {} as long", way.id, times < 1.0 ? "half" : "twice"), order, gone));
    }
  }
  return answers;
}

// How much a complication counts against a crossing is a judgement: what each answer to it would choose.
std::vector<WeightView> WeightsOf(const Ladder& ladder, const Priors& priors, const std::stop_token* gone) {
  std::vector<double> weights = {0.0, 1.0, 5.0, 10.0, 20.0, priors.complication_weight.value};
  std::ranges::sort(weights);
  weights.erase(std::unique(weights.begin(), weights.end()), weights.end());
  std::vector<WeightView> views;
  for (const double weight : weights) {
    LadderModel model = ladder.model;
    model.objective.complication_weight = weight;
    const Solution solution = Solve(model, Quick(gone));
    views.push_back({weight, OrderOf(ladder, solution.plan), solution.value.p_cross, solution.value.p_complication, weight == priors.complication_weight.value});
  }
  return views;
}

}  // namespace

Doubts Doubt(const Ladder& ladder, const Priors& priors, const Outlook& outlook, int draws, const std::stop_token* gone) {
  Doubts doubts;
  std::map<std::string, double> orders;
  std::vector<double> first, first_weights;
  double loss = 0.0, sum = 0.0;
  for (int i = 0; i < draws && !NobodyWaits(gone); ++i) {
    const auto [model, likely] = DrawnModel(ladder, priors, static_cast<std::uint64_t>(i));
    const double weight = std::max(likely, 1e-300);  // a draw that could not have come so far still counts if all are so
    const Solution solution = Solve(model, Quick(gone));
    orders[OrderOf(ladder, solution.plan)] += weight;
    sum += weight;
    loss += weight * std::max(0.0, solution.value.utility - EvaluateAlone(model, outlook.solution.plan).utility);
    const bool same = !solution.plan.empty() && !outlook.solution.plan.empty() && solution.plan.front().strategy == outlook.solution.plan.front().strategy;
    if (same) first.push_back(solution.plan.front().minutes), first_weights.push_back(weight);
  }
  for (const auto& [order, weight] : orders) doubts.shares.push_back({order, weight / sum});
  std::ranges::stable_sort(doubts.shares, [](const auto& a, const auto& b) { return a.share > b.share; });
  if (!first.empty()) {
    const DrawBand band = BandOf(first, first_weights);
    for (const double minutes : {band.low, band.middle, band.high}) doubts.first_minutes.push_back(static_cast<int>(std::lround(minutes)));
  }
  doubts.loss_mean = sum > 0.0 ? loss / sum : 0.0;
  if (NobodyWaits(gone)) return doubts;
  doubts.what_if = WhatIfs(ladder, OrderOf(ladder, outlook.solution.plan), gone);
  if (NobodyWaits(gone)) return doubts;
  doubts.weights = WeightsOf(ladder, priors, gone);
  return doubts;
}

}  // namespace fairlead
