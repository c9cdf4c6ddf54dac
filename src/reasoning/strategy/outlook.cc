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
std::vector<Rung> BestWithout(const LadderModel& model, std::size_t k, double minutes, const std::stop_token* gone) {
  LadderModel after = minutes > 0.0 ? AfterTrying(model, k, minutes) : model;
  const LadderModel rest = Without(std::move(after), k);
  return Shifted(Solve(rest, {.gone = gone}).plan, k);
}

std::vector<double> Each(const std::vector<PlanValue>& values, double PlanValue::* member) {
  std::vector<double> all;
  all.reserve(values.size());
  for (const PlanValue& value : values) all.push_back(value.*member);
  return all;
}

WayOn Described(const Ladder& ladder, std::vector<Rung> plan, const std::vector<PlanValue>& drawn, const std::vector<double>& weights) {
  WayOn way;
  const PlanValue value = EvaluateAlone(ladder.model, plan);
  way.p_cross = value.p_cross;
  way.harm = value.p_complication;
  if (!drawn.empty()) way.band = BandOf(Each(drawn, &PlanValue::p_cross), weights), way.harm_band = BandOf(Each(drawn, &PlanValue::p_complication), weights);
  way.plan = std::move(plan);
  return way;
}

// The two ways on, in this order: change now; so many more minutes, then change.
struct TwoPlans {
  std::vector<Rung> now, later;
  int more = 0;
};
TwoPlans TwoWaysOn(const Blocks& blocks, std::size_t current, const std::stop_token* gone) {
  TwoPlans plans;
  plans.more = std::min(kMoreMinutes, blocks.most(current));
  plans.now = BestWithout(blocks.model(), current, 0.0, gone);
  if (plans.more > 0) plans.later.push_back({current, plans.more});
  for (const Rung& rung : BestWithout(blocks.model(), current, plans.more, gone)) plans.later.push_back(rung);
  return plans;
}

Patience PatienceOf(const Ladder& ladder, const Blocks& blocks, std::size_t current, TwoPlans plans, const std::vector<PlanValue>& now, const std::vector<PlanValue>& later,
                    const std::vector<double>& weights) {
  Patience patience;
  patience.more_min = plans.more;
  patience.change_now = Described(ladder, std::move(plans.now), now, weights);
  patience.ten_more = Described(ladder, std::move(plans.later), later, weights);
  patience.difference = patience.ten_more.p_cross - patience.change_now.p_cross;
  std::vector<double> differences;
  differences.reserve(now.size());
  for (std::size_t i = 0; i < now.size(); ++i) differences.push_back(later[i].p_cross - now[i].p_cross);
  if (!differences.empty()) patience.difference_band = BandOf(differences, weights);
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
  const int enough = std::max(60, 2 * plan.front().minutes);
  std::vector<Rung> rest(plan.begin() + 1, plan.end());
  for (int minutes = 0; minutes <= blocks.most(plan.front().strategy); ++minutes) {
    if (minutes > enough && losses.back().loss >= kNoOdds) break;  // the flat minutes are followed to their end
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

// Leaving rung `i` earlier or later once it is reached, what follows fitted anew: the minutes that lose less than kNoOdds.
void SetFlat(RungView& view, const Blocks& blocks, const std::vector<Rung>& plan, std::size_t i, double best) {
  const auto loss = [&](int minutes) {
    std::vector<Rung> moved(plan.begin(), plan.begin() + static_cast<std::ptrdiff_t>(i));
    moved.push_back({plan[i].strategy, minutes});
    Spending taken{};
    const auto with = [&](const Rung& rung) {
      Spending sum = TakenBy(blocks.model().strategies[rung.strategy], rung.minutes);
      for (std::size_t r = 0; r < sum.size(); ++r) sum[r] += taken[r];
      return sum;
    };
    for (const Rung& rung : moved) taken = with(rung);
    if (!Affordable(blocks.model(), taken)) return 1.0;
    for (std::size_t j = i + 1; j < plan.size(); ++j) {  // as much of the rest as fits
      Rung rung = plan[j];
      while (rung.minutes > 0 && !Affordable(blocks.model(), with(rung))) --rung.minutes;
      if (rung.minutes > 0) moved.push_back(rung), taken = with(rung);
    }
    return best - Evaluate(blocks, Improve(blocks, std::move(moved), {.fixed = i + 1})).utility;
  };
  view.flat_from = view.flat_to = view.minutes;
  while (view.flat_from > 1 && loss(view.flat_from - 1) < kNoOdds) --view.flat_from;
  while (view.flat_to < blocks.most(view.strategy) && loss(view.flat_to + 1) < kNoOdds) ++view.flat_to;
}

// `flat_of_first` as the losses have it, if they are of the first rung.
std::vector<RungView> RungsOf(const Blocks& blocks, const Solution& solution, const std::optional<FlatMinutes>& flat_of_first) {
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
    if (i > 0 || !flat_of_first) SetFlat(view, blocks, solution.plan, i, solution.value.utility);
    else view.flat_from = flat_of_first->from, view.flat_to = flat_of_first->to;
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

Outlook Look(const Ladder& ladder, const Priors& priors, int draws, const std::stop_token* gone) {
  Outlook outlook;
  const Blocks blocks(ladder.model);
  outlook.solution = Solve(blocks, {.gone = gone});
  outlook.stop_now_worth = ladder.model.objective.stop_value;
  std::vector<DrawnLadder> drawn;
  for (int i = 0; i < draws && !NobodyWaits(gone); ++i) drawn.push_back(DrawnModel(ladder, priors, static_cast<std::uint64_t>(i)));
  const std::vector<Rung>& plan = outlook.solution.plan;
  std::optional<std::size_t> first = ladder.current;
  if (!first && !plan.empty()) first = plan.front().strategy;
  if (NobodyWaits(gone)) return outlook;
  const TwoPlans two = first ? TwoWaysOn(blocks, *first, gone) : TwoPlans{};
  const DrawnValues values = ValuesUnder(drawn, {plan, two.now, two.later});
  const WayOn whole = Described(ladder, plan, values.by_plan[0], values.weights);
  outlook.p_cross = whole.band;
  outlook.harm = whole.harm_band;
  for (std::size_t k = 0; k < ladder.strategies.size(); ++k) {
    if (ladder.current != k) outlook.fits.push_back(FitOf(ladder, priors, k));
  }
  if (NobodyWaits(gone)) return outlook;
  outlook.losses = LossesOf(blocks, plan, ladder.current, outlook.solution.value.utility);
  const bool of_first_rung = !plan.empty() && (!ladder.current || plan.front().strategy == *ladder.current);
  outlook.rungs = RungsOf(blocks, outlook.solution, of_first_rung ? FlatOf(outlook.losses) : std::nullopt);
  if (first) outlook.patience = PatienceOf(ladder, blocks, *first, two, values.by_plan[1], values.by_plan[2], values.weights);
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
