// SPDX-License-Identifier: Apache-2.0
// Phases: independent log-normal times, one after another, given that all can be passed; and chances that multiply to
// the strategy's own. A milestone reached leaves the phases that follow.
#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <mutex>
#include <utility>

#include "reasoning/strategy/ladder.h"

namespace fairlead {
namespace {

constexpr int kSteps = 500;         // of a table: ten medians of the whole
constexpr double kStepShare = 0.02;  // of the median
constexpr int kCoarseSteps = 125;    // for the draws behind a band: a step is then 8 in 100 of the median
constexpr int kRounds = 10;
constexpr std::size_t kMostKept = 64;  // laws remembered; a practice has as many as its priors have strategies

std::vector<ClockLaw> PhaseLaws(const std::vector<PriorPhase>& phases, double unit_min, double sigma, double step) {
  std::vector<ClockLaw> laws;
  for (const PriorPhase& phase : phases) {
    if (phase.time_share > 0.0) laws.push_back(LogNormalTable(phase.time_share * unit_min, sigma, 0.25 * step, 4 * kSteps));
  }
  return laws;
}

double Quantile(const ClockLaw& law, double left) {
  std::size_t i = 0;
  while (i + 1 < law.table.size() && law.table[i + 1] > left) ++i;
  if (i + 1 >= law.table.size()) return static_cast<double>(i) * law.scale_min;
  const double span = law.table[i] - law.table[i + 1];
  return (static_cast<double>(i) + (span > 0.0 ? (law.table[i] - left) / span : 0.0)) * law.scale_min;
}

PhasedLaw FoundLaw(const std::vector<PriorPhase>& phases, double log_sd) {
  PhasedLaw law;
  if (phases.size() < 2) {
    law.whole = LogNormalTable(1.0, log_sd, kStepShare, kSteps);
    law.phase_log_sd = log_sd;
    return law;
  }
  double low = log_sd, high = 2.5 * log_sd + 0.1;
  for (int round = 0; round < kRounds; ++round) {
    const double sigma = 0.5 * (low + high);
    const bool last = round + 1 == kRounds;  // the search needs no fine table, its result does
    const double step = last ? kStepShare : 4.0 * kStepShare;
    ClockLaw sum = SumOfPhases(PhaseLaws(phases, 1.0, sigma, step), step, last ? kSteps : kSteps / 4);
    const double median = Quantile(sum, 0.5);
    // The quartiles of a log-normal lie 1.349 sigma apart on the log scale.
    const double wide = std::log(Quantile(sum, 0.25) / std::max(Quantile(sum, 0.75), 1e-6)) / 1.349;
    (wide < log_sd ? low : high) = sigma;
    law.phase_log_sd = sigma;
    law.unit_min = 1.0 / median;
    law.whole = std::move(sum);
    law.whole.scale_min = kStepShare / median;
  }
  return law;
}

// The search takes milliseconds and every answer of every case asks for the same few laws: they are kept.
std::shared_ptr<const PhasedLaw> KeptLaw(const std::vector<PriorPhase>& phases, double log_sd) {
  static std::mutex mutex;
  static std::map<std::vector<double>, std::shared_ptr<const PhasedLaw>> kept;  // guarded by mutex; by the shares of time and the spread
  std::vector<double> key = {log_sd};
  for (const PriorPhase& phase : phases) key.push_back(phase.time_share);
  {
    const std::lock_guard lock(mutex);
    if (const auto found = kept.find(key); found != kept.end()) return found->second;
  }
  PhasedLaw law = FoundLaw(phases, log_sd);
  for (const PriorPhase& phase : phases) {
    law.phases.push_back(phase.time_share > 0.0 ? LogNormalTable(phase.time_share * law.unit_min, law.phase_log_sd, 0.25 * kStepShare, 4 * kSteps) : ClockLaw{});
  }
  const std::lock_guard lock(mutex);
  if (kept.size() >= kMostKept) kept.clear();
  return kept.try_emplace(std::move(key), std::make_shared<const PhasedLaw>(std::move(law))).first->second;
}

}  // namespace

PhasedLaw LawOfPhases(const std::vector<PriorPhase>& phases, double log_sd) { return *KeptLaw(phases, log_sd); }

ReachedPhase Reached(StrategyModel strategy, const PriorStrategy& prior, double median_min, std::size_t phase, double phase_min, PhaseGrid grid) {
  const auto shape = KeptLaw(prior.phases, prior.log_sd.value);
  const int steps = grid == PhaseGrid::kFine ? kSteps : kCoarseSteps;
  const double step = kStepShare * median_min * kSteps / steps;
  std::vector<ClockLaw> laws;
  for (std::size_t i = phase; i < shape->phases.size(); ++i) {
    if (shape->phases[i].table.empty()) continue;
    laws.push_back(shape->phases[i]);
    laws.back().scale_min *= median_min;
  }
  double before = 0.0, after = 0.0;
  for (std::size_t i = 0; i < prior.phases.size(); ++i) {
    if (i < phase) before += prior.phases[i].fail_share;
    if (i > phase) after += prior.phases[i].fail_share;
  }
  const double own = prior.phases[phase].fail_share;
  const double still = laws.empty() ? 0.0 : Survival(laws.front(), phase_min);
  ReachedPhase reached;
  for (double& can : strategy.can) {
    const double passes = own > 0.0 ? std::pow(can, own) : 1.0;
    const double open = 1.0 - passes + passes * still;
    reached.likelihood.push_back((before > 0.0 ? std::pow(can, before) : 1.0) * open);
    const double later = after > 0.0 ? std::pow(can, after) : 1.0;
    can = open > 0.0 ? passes * still / open * later : 0.0;
  }
  if (!laws.empty()) laws.front().elapsed_min = phase_min;
  strategy.law = SumOfPhases(laws, step, steps);
  strategy.setup = {};
  reached.strategy = std::move(strategy);
  return reached;
}

StrategyModel InPhase(StrategyModel strategy, const PriorStrategy& prior, double median_min, std::size_t phase, double phase_min,
                      std::vector<double>& weights) {
  ReachedPhase reached = Reached(std::move(strategy), prior, median_min, phase, phase_min);
  double sum = 0.0;
  for (std::size_t c = 0; c < weights.size(); ++c) sum += weights[c] *= reached.likelihood[c];
  for (double& weight : weights) weight = sum > 0.0 ? weight / sum : 1.0 / static_cast<double>(weights.size());
  return std::move(reached.strategy);
}

}  // namespace fairlead
