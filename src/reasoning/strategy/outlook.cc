// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/outlook.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "reasoning/strategy/clock.h"
#include "reasoning/strategy/improve.h"

namespace fairlead {
namespace {

double LeastWork(const Ladder& ladder, const Priors& priors, std::size_t k) {
  return priors.strategies[ladder.strategies[k].prior].least_work_min.value;
}

// When the budgets end the chance to set up another way, at the current strategy's pace.
FitView FitOf(const Ladder& ladder, const Priors& priors, std::size_t k) {
  const LadderModel& model = ladder.model;
  const StrategyModel& way = model.strategies[k];
  const double work = LeastWork(ladder, priors, k);
  const Spending pace = ladder.current ? model.strategies[*ladder.current].per_min : Spending{1.0, 0.0, 0.0};
  FitView fit{k, way.setup[kMinutes] + work, true, std::nullopt, kMinutes};
  for (std::size_t r = 0; r < model.budget.size(); ++r) {
    if (!model.budget[r]) continue;
    const double spare = *model.budget[r] - way.setup[r] - way.per_min[r] * work;
    if (spare < 0.0) fit.fits_now = false;
    if (pace[r] <= 0.0 && spare >= 0.0) continue;
    const double minutes = spare < 0.0 ? 0.0 : spare / pace[r];
    if (fit.fits_for_min && *fit.fits_for_min <= minutes) continue;
    fit.fits_for_min = minutes;
    fit.binds = r;
  }
  return fit;
}

std::vector<Rung> Shifted(std::vector<Rung> plan, std::size_t removed) {
  for (Rung& rung : plan) rung.strategy += rung.strategy >= removed ? 1 : 0;
  return plan;
}

// The best plan that does not use `k` any more, after `minutes` of it without crossing.
std::vector<Rung> BestWithout(const LadderModel& model, std::size_t k, double minutes) {
  LadderModel after = minutes > 0.0 ? AfterTrying(model, k, minutes) : model;
  const LadderModel rest = Without(std::move(after), k);
  return Shifted(Solve(rest).plan, k);
}

WayOn Describe(const Ladder& ladder, const std::vector<LadderModel>& draws, std::vector<Rung> plan) {
  WayOn way;
  const PlanValue value = EvaluateAlone(ladder.model, plan);
  way.p_cross = value.p_cross;
  way.harm = value.p_complication;
  std::vector<double> cross, harm;
  for (const LadderModel& draw : draws) {
    const PlanValue drawn = EvaluateAlone(draw, plan);
    cross.push_back(drawn.p_cross);
    harm.push_back(drawn.p_complication);
  }
  if (!cross.empty()) way.band = BandOf(std::move(cross)), way.harm_band = BandOf(std::move(harm));
  way.plan = std::move(plan);
  return way;
}

Patience PatienceOf(const Ladder& ladder, const std::vector<LadderModel>& draws, std::size_t current) {
  Patience patience;
  const Blocks blocks(ladder.model);
  const int more = std::min(kMoreMinutes, blocks.most(current));
  patience.change_now = Describe(ladder, draws, BestWithout(ladder.model, current, 0.0));
  std::vector<Rung> on;
  if (more > 0) on.push_back({current, more});
  for (const Rung& rung : BestWithout(ladder.model, current, more)) on.push_back(rung);
  patience.ten_more = Describe(ladder, draws, std::move(on));
  patience.difference = patience.ten_more.p_cross - patience.change_now.p_cross;
  std::vector<double> differences;
  differences.reserve(draws.size());
  for (const LadderModel& draw : draws) {
    differences.push_back(EvaluateAlone(draw, patience.ten_more.plan).p_cross - EvaluateAlone(draw, patience.change_now.plan).p_cross);
  }
  if (!differences.empty()) patience.difference_band = BandOf(std::move(differences));
  patience.clear = std::abs(patience.difference) >= kClearDifference &&
                   (patience.difference_band.low > 0.0 || patience.difference_band.high < 0.0);
  if (blocks.most(current) > 0) patience.kept_to_end = Evaluate(blocks, {{current, blocks.most(current)}}).p_cross;
  return patience;
}

// Utility by the minute at which the first rung is left, the rest fitted anew each time.
std::vector<LossPoint> LossesOf(const Blocks& blocks, std::vector<Rung> plan, std::optional<std::size_t> current, double best) {
  std::vector<LossPoint> losses;
  if (current && (plan.empty() || plan.front().strategy != *current)) {  // the best plan leaves it at once, or takes it up later
    std::erase_if(plan, [&](const Rung& rung) { return rung.strategy == *current; });
    plan.insert(plan.begin(), {*current, 0});
  }
  if (plan.empty()) return losses;
  const int last = std::min(blocks.most(plan.front().strategy), std::max(60, 2 * plan.front().minutes));
  std::vector<Rung> rest(plan.begin() + 1, plan.end());
  for (int minutes = 0; minutes <= last; ++minutes) {
    std::vector<Rung> other;
    if (minutes > 0) other.push_back({plan.front().strategy, minutes});
    Spending taken = minutes > 0 ? TakenBy(blocks.model().strategies[plan.front().strategy], minutes) : Spending{};
    for (Rung rung : rest) {  // as much of the rest as fits
      for (; rung.minutes > 0; --rung.minutes) {
        Spending sum = TakenBy(blocks.model().strategies[rung.strategy], rung.minutes);
        for (std::size_t r = 0; r < sum.size(); ++r) sum[r] += taken[r];
        if (!Affordable(blocks.model(), sum)) continue;
        other.push_back(rung);
        taken = sum;
        break;
      }
    }
    const ImproveSettings settings{.fixed = minutes > 0 ? std::size_t{1} : std::size_t{0}, .keep_order = minutes == 0};
    other = Improve(blocks, std::move(other), settings);
    losses.push_back({minutes, std::max(0.0, best - Evaluate(blocks, other).utility)});
  }
  return losses;
}

// Leaving rung `i` earlier or later, the other rungs' minutes fitted anew: the minutes that lose less than kNoOdds.
void SetFlat(RungView& view, const Blocks& blocks, const std::vector<Rung>& plan, std::size_t i, double best) {
  const auto loss = [&](int minutes) {
    std::vector<Rung> moved = plan;
    moved[i].minutes = minutes;
    Spending taken{};
    for (Rung& rung : moved) {
      const Spending block = TakenBy(blocks.model().strategies[rung.strategy], rung.minutes);
      for (std::size_t r = 0; r < taken.size(); ++r) taken[r] += block[r];
    }
    for (std::size_t j = moved.size(); j-- > 0 && !Affordable(blocks.model(), taken);) {
      if (j == i) continue;
      while (moved[j].minutes > 1 && !Affordable(blocks.model(), taken)) {
        --moved[j].minutes;
        for (std::size_t r = 0; r < taken.size(); ++r) taken[r] -= blocks.model().strategies[moved[j].strategy].per_min[r];
      }
    }
    return Affordable(blocks.model(), taken) ? best - Evaluate(blocks, moved).utility : 1.0;
  };
  view.flat_from = view.flat_to = view.minutes;
  while (view.flat_from > 1 && loss(view.flat_from - 1) < kNoOdds) --view.flat_from;
  while (view.flat_to < blocks.most(view.strategy) && loss(view.flat_to + 1) < kNoOdds) ++view.flat_to;
}

std::vector<RungView> RungsOf(const Blocks& blocks, const Solution& solution) {
  std::vector<RungView> views;
  std::vector<Rung> so_far;
  double crossed = 0.0, harmed = 0.0;
  Spending spent{};
  for (std::size_t i = 0; i < solution.plan.size(); ++i) {
    const Rung& rung = solution.plan[i];
    so_far.push_back(rung);
    const PlanValue value = Evaluate(blocks, so_far);
    const double reached = std::max(1e-12, 1.0 - crossed - harmed);
    RungView view{.strategy = rung.strategy, .minutes = rung.minutes};
    view.p_cross = (value.p_cross - crossed) / reached;
    view.harm = (value.p_complication - harmed) / reached;
    for (std::size_t r = 0; r < spent.size(); ++r) view.expected[r] = (value.expected[r] - spent[r]) / reached;
    SetFlat(view, blocks, solution.plan, i, solution.value.utility);
    crossed = value.p_cross;
    harmed = value.p_complication;
    spent = value.expected;
    views.push_back(view);
  }
  return views;
}

std::vector<CurveView> CurvesOf(const Ladder& ladder) {
  std::vector<CurveView> curves;
  for (std::size_t k = 0; k < ladder.model.strategies.size(); ++k) {
    const StrategyModel& strategy = ladder.model.strategies[k];
    double can = 0.0;
    for (std::size_t c = 0; c < strategy.can.size(); ++c) can += ladder.model.class_weights[c] * strategy.can[c];
    CurveView curve{k, {}};
    curve.crossed_by.reserve(19);
    for (int minutes = 0; minutes <= 90; minutes += 5) curve.crossed_by.push_back(CrossedBy({can, strategy.law}, minutes));
    curves.push_back(std::move(curve));
  }
  return curves;
}

}  // namespace

Outlook Look(const Ladder& ladder, const Priors& priors, int draws) {
  Outlook outlook;
  const Blocks blocks(ladder.model);
  outlook.solution = Solve(blocks);
  outlook.stop_now_worth = ladder.model.objective.stop_value;
  std::vector<LadderModel> drawn;
  for (int i = 0; i < draws; ++i) drawn.push_back(DrawnModel(ladder, priors, static_cast<std::uint64_t>(i)));
  const WayOn whole = Describe(ladder, drawn, outlook.solution.plan);
  outlook.p_cross = whole.band;
  outlook.harm = whole.harm_band;
  outlook.rungs = RungsOf(blocks, outlook.solution);
  for (std::size_t k = 0; k < ladder.strategies.size(); ++k) {
    if (ladder.current != k) outlook.fits.push_back(FitOf(ladder, priors, k));
  }
  outlook.losses = LossesOf(blocks, outlook.solution.plan, ladder.current, outlook.solution.value.utility);
  if (ladder.current) outlook.patience = PatienceOf(ladder, drawn, *ladder.current);
  else if (!outlook.solution.plan.empty()) outlook.patience = PatienceOf(ladder, drawn, outlook.solution.plan.front().strategy);
  outlook.curves = CurvesOf(ladder);
  return outlook;
}

std::optional<FlatMinutes> FlatOf(const std::vector<LossPoint>& losses) {
  if (losses.empty()) return std::nullopt;
  const auto best = std::ranges::min_element(losses, {}, &LossPoint::loss);
  auto from = best, to = best;
  while (from != losses.begin() && std::prev(from)->loss < kNoOdds) --from;
  while (std::next(to) != losses.end() && std::next(to)->loss < kNoOdds) ++to;
  return FlatMinutes{from->minutes, to->minutes};
}

std::string OrderOf(const Ladder& ladder, const std::vector<Rung>& plan) {
  std::string order;
  for (const Rung& rung : plan) order += (order.empty() ? "" : ", ") + ladder.strategies[rung.strategy].id;
  return order.empty() ? "stop" : order;
}

}  // namespace fairlead
