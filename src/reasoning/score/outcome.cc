// SPDX-License-Identifier: Apache-2.0
#include "reasoning/score/outcome.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

bool NothingMissing(std::span<const Part> parts) {
  return std::ranges::all_of(parts, [](const Part& part) { return part.missing.empty(); });
}

double ModelValue(const RiskModel& model, double intercept, double betas) {
  if (model.kind == ModelKind::kOddsRatio) return std::exp(betas);
  return 1.0 / (1.0 + std::exp(-(intercept + betas)));
}

// Expected value of the model for one way of completing the missing facts, over every combination of levels.
double Expected(const RiskModel& model, double intercept, std::span<const Pieces* const> chosen) {
  std::vector<std::pair<double, double>> sums{{0.0, 1.0}};  // sum of betas, probability
  for (const auto* pieces : chosen) {
    std::vector<std::pair<double, double>> next;
    for (const auto& [beta, probability] : sums) {
      for (const auto& piece : *pieces) next.emplace_back(beta + piece.beta, probability * piece.probability);
    }
    sums = std::move(next);
  }
  double expected = 0.0;
  for (const auto& [beta, probability] : sums) expected += probability * ModelValue(model, intercept, beta);
  return expected;
}

// Lowest and highest expected value over all ways of completing the missing facts.
Rate ModelRange(const RiskModel& model, std::span<const Part> parts) {
  Rate range{HUGE_VAL, -HUGE_VAL};
  std::vector<std::size_t> choice(parts.size(), 0);
  std::vector<const Pieces*> chosen(parts.size());
  while (true) {
    for (std::size_t i = 0; i < parts.size(); ++i) chosen[i] = &parts[i].completions[choice[i]];
    range.low = std::min(range.low, Expected(model, model.intercept_low, chosen));
    range.high = std::max(range.high, Expected(model, model.intercept_high, chosen));
    std::size_t i = 0;
    while (i < parts.size() && ++choice[i] == parts[i].completions.size()) choice[i++] = 0;
    if (i == parts.size()) return range;
  }
}

OutcomeResult ModelOutcome(const RiskModel& model, std::span<const Part> parts) {
  OutcomeResult outcome{std::string(model.what), {}, {}, {}, model.source, std::string(model.cohort), "computed",
                        model.kind == ModelKind::kOddsRatio};
  const Rate range = ModelRange(model, parts);
  outcome.low = range.low;
  outcome.high = range.high;
  if (NothingMissing(parts) && model.intercept_low == model.intercept_high) outcome.value = range.low;
  return outcome;
}

OutcomeResult TableOutcome(const ScoreDefinition& score, const RateTable& table, std::span<const Part> parts,
                           std::span<const TotalLaw> laws) {
  OutcomeResult outcome{std::string(table.what),
                        {},
                        {},
                        {},
                        table.source,
                        std::string(table.cohort),
                        table.checked == Checked::kSeen ? "seen" : "memory"};
  if (!MayShow(score, table)) return outcome;
  Rate range{HUGE_VAL, -HUGE_VAL};
  for (const auto& law : laws) {
    const Rate rate = MixedRate(score, table, law);
    range.low = std::min(range.low, rate.low);
    range.high = std::max(range.high, rate.high);
  }
  outcome.low = range.low;
  outcome.high = range.high;
  if (NothingMissing(parts) && range.low == range.high) outcome.value = range.low;
  return outcome;
}

int Spread(const Part& part) {
  int low = 1 << 20, high = 0;
  for (const auto& pieces : part.completions) {
    for (const auto& piece : pieces) {
      low = std::min(low, piece.halves);
      high = std::max(high, piece.halves);
    }
  }
  return high - low;
}

double BetaSpread(const Part& part) {
  double low = HUGE_VAL, high = -HUGE_VAL;
  for (const auto& pieces : part.completions) {
    for (const auto& piece : pieces) {
      low = std::min(low, piece.beta);
      high = std::max(high, piece.beta);
    }
  }
  return high - low;
}

// The farthest that the rate moves between two answers of part `at`, the other missing facts held anyhow.
double RateSpread(const ScoreDefinition& score, const RateTable& table, std::span<const Part> parts, std::size_t at) {
  std::vector<Part> others(parts.begin(), parts.end());
  others.erase(others.begin() + static_cast<std::ptrdiff_t>(at));
  double farthest = 0.0;
  for (const auto& law : TotalLaws(others)) {
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (const auto& pieces : parts[at].completions) {
      const Rate rate = MixedRate(score, table, Convolved(law, pieces));
      low = std::min(low, 0.5 * (rate.low + rate.high));
      high = std::max(high, 0.5 * (rate.low + rate.high));
    }
    farthest = std::max(farthest, high - low);
  }
  return farthest;
}

}  // namespace

std::string PointsText(double points) {
  return fmt::format("{:g}", points);
}

std::size_t GroupOf(const ScoreDefinition& score, std::size_t halves) {
  const double total = 0.5 * static_cast<double>(halves);
  const auto found = std::ranges::find_if(
      score.groups, [total](const ScoreGroup& group) { return group.low <= total && total <= group.high; });
  return static_cast<std::size_t>(found - score.groups.begin());
}

bool MayShow(const ScoreDefinition& score, const RateTable& table) {
  return table.checked == Checked::kSeen &&
         (score.status == ScoreStatus::kFull || score.status == ScoreStatus::kPoints);
}

Rate MixedRate(const ScoreDefinition& score, const RateTable& table, const TotalLaw& law) {
  Rate mixed{0.0, 0.0};
  for (std::size_t halves = 0; halves < law.size(); ++halves) {
    if (law[halves] == 0.0) continue;
    const auto group = GroupOf(score, halves);
    if (group >= table.rates.size()) continue;
    mixed.low += law[halves] * table.rates[group].low;
    mixed.high += law[halves] * table.rates[group].high;
  }
  return mixed;
}

std::vector<OutcomeResult> Outcomes(const ScoreDefinition& score, std::span<const Part> parts,
                                    std::span<const TotalLaw> laws) {
  std::vector<OutcomeResult> outcomes;
  for (const auto& table : score.rates) outcomes.push_back(TableOutcome(score, table, parts, laws));
  if (score.model.kind != ModelKind::kNone) outcomes.push_back(ModelOutcome(score.model, parts));
  return outcomes;
}

std::optional<Decides> DecidingFact(const ScoreDefinition& score, std::span<const Part> parts) {
  const RateTable* table = nullptr;
  for (const auto& candidate : score.rates) {
    if (table == nullptr && MayShow(score, candidate)) table = &candidate;
  }
  struct Best {
    double moves = -1.0;
    int halves = -1;
    std::size_t at = 0;
  } best;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (parts[i].missing.empty() || parts[i].missing[0] == "strategy_category") continue;
    const double moves = table != nullptr ? RateSpread(score, *table, parts, i) : BetaSpread(parts[i]);
    const int halves = Spread(parts[i]);
    if (moves > best.moves + 1e-12 || (moves > best.moves - 1e-12 && halves > best.halves)) best = {moves, halves, i};
  }
  if (best.halves < 0) return std::nullopt;
  std::string what = "knowing it settles up to " + PointsText(0.5 * best.halves) +
                     (best.halves == 2 ? " point of the total" : " points of the total");
  if (table != nullptr) {
    what += fmt::format(" and moves \"{}\" by up to {:.0f} percentage points", table->what, 100.0 * best.moves);
  }
  return Decides{std::string(parts[best.at].missing[0]), what};
}

}  // namespace fairlead
