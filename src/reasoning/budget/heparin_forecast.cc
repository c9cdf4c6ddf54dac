// SPDX-License-Identifier: Apache-2.0
// What is said of one patient, from the weights on the grid of slope and rate (and of the baseline, where it was not measured).
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <span>
#include <utility>

#include "reasoning/budget/heparin.h"
#include "reasoning/budget/heparin_grid.h"

namespace fairlead {
namespace {

constexpr double kBorderSds = 4.0;         // a patient beyond it is outside the model
constexpr double kLongest_min = 24 * 60.0;

// Linear between the middles of the cumulated weights.
Quantiles QuantilesOf(std::vector<std::pair<double, double>> weighted) {
  std::ranges::sort(weighted);
  std::vector<double> middle;
  double sum = 0.0;
  for (const auto& one : weighted) {
    middle.push_back(sum + 0.5 * one.second);
    sum += one.second;
  }
  const auto at = [&](double p) {
    const auto above = static_cast<std::size_t>(std::ranges::lower_bound(middle, p) - middle.begin());
    if (above == 0) return weighted.front().first;
    if (above == middle.size()) return weighted.back().first;
    const double share = (p - middle[above - 1]) / (middle[above] - middle[above - 1]);
    return weighted[above - 1].first + share * (weighted[above].first - weighted[above - 1].first);
  };
  return {at(0.05), at(0.25), at(0.50), at(0.75), at(0.95)};
}

template <typename Value>
Quantiles Over(const HeparinGrid& grid, const Value& value) {
  std::vector<std::pair<double, double>> weighted;
  weighted.reserve(grid.cells.size());
  for (const HeparinCell& cell : grid.cells) weighted.emplace_back(value(cell), cell.weight);
  return QuantilesOf(std::move(weighted));
}

// With the analyser's spread over a log mean: the means are gathered in bins far narrower than that spread.
Quantiles Blurred(const HeparinGrid& grid, std::size_t column) {
  constexpr double kBin = 0.004;
  constexpr std::size_t kBins = 1600;
  constexpr double kFirst = 2.0;  // log of 7 s
  std::vector<double> bins(kBins, 0.0);
  for (const HeparinCell& cell : grid.cells) {
    const double place = std::clamp((std::log(cell.base + cell.slope * grid.amounts[cell.rate][column]) - kFirst) / kBin, 0.0, kBins - 2.0);
    const auto low = static_cast<std::size_t>(place);
    bins[low] += cell.weight * (1.0 - (place - static_cast<double>(low)));
    bins[low + 1] += cell.weight * (place - static_cast<double>(low));
  }
  const auto below = [&](double y) {
    double sum = 0.0;
    for (std::size_t i = 0; i < kBins; ++i)
      if (bins[i] > 0.0) sum += bins[i] * 0.5 * std::erfc((kFirst + kBin * static_cast<double>(i) - y) / (kResidualSd * std::numbers::sqrt2));
    return sum;
  };
  const auto at = [&](double p) {
    double low = kFirst, high = kFirst + kBin * kBins;
    for (int step = 0; step < 30; ++step) (below(0.5 * (low + high)) < p ? low : high) = 0.5 * (low + high);
    return std::exp(0.5 * (low + high));
  };
  return {at(0.05), at(0.25), at(0.50), at(0.75), at(0.95)};
}

// Damped Newton with numerical slopes on the log posterior from a first guess: smooth and nearly quadratic.
LikeliestPatient FindLikeliest(std::array<double, 2> x, double base, const HeparinCourse& course, std::span<const ActPoint> readings,
                               std::span<const HeparinBolus> gifts) {
  std::vector<double> times;
  times.reserve(readings.size());
  for (const ActPoint& reading : readings) times.push_back(reading.at_min);
  const auto cost = [&](const std::array<double, 2>& at) {
    const auto amounts = HeparinAmounts(gifts, times, std::exp(at[1]));
    double sum = 0.5 * (at[0] * at[0] / (kSlopeSd * kSlopeSd) + at[1] * at[1] / (kRateSd * kRateSd));
    for (std::size_t r = 0; r < readings.size(); ++r)
      sum -= ActLogLikelihood(readings[r], std::log(base + course.scale.slope * std::exp(at[0]) * amounts[r]));
    return sum;
  };
  for (int step = 0; step < 12; ++step) {
    constexpr double h = 1e-4;
    const auto shifted = [&](double a, double b) { return cost({x[0] + a * h, x[1] + b * h}); };
    const double here = cost(x);
    const double ga = (shifted(1, 0) - shifted(-1, 0)) / (2 * h), gb = (shifted(0, 1) - shifted(0, -1)) / (2 * h);
    const double haa = (shifted(1, 0) - 2 * here + shifted(-1, 0)) / (h * h), hbb = (shifted(0, 1) - 2 * here + shifted(0, -1)) / (h * h);
    const double hab = (shifted(1, 1) - shifted(1, -1) - shifted(-1, 1) + shifted(-1, -1)) / (4 * h * h);
    const double det = haa * hbb - hab * hab;
    if (!(det > 0.0) || !(haa > 0.0)) break;
    const std::array<double, 2> move = {-(hbb * ga - hab * gb) / det, -(haa * gb - hab * ga) / det};
    std::array<double, 2> next = x;
    double share = 1.0;
    do {
      next = {x[0] + share * move[0], x[1] + share * move[1]};
      share *= 0.5;
    } while (cost(next) > here && share > 1e-3);
    const bool still = std::abs(next[0] - x[0]) + std::abs(next[1] - x[1]) < 1e-9;
    x = next;
    if (still) break;
  }
  return {x[0], x[1]};
}

double Below(const HeparinGrid& grid, std::size_t column, double target_s) {
  double sum = 0.0;
  for (const HeparinCell& cell : grid.cells)
    if (cell.base + cell.slope * grid.amounts[cell.rate][column] < target_s) sum += cell.weight;
  return sum;
}

void TimeToTarget(const HeparinGrid& grid, std::size_t now, double target_s, HeparinForecast& forecast) {
  std::vector<std::pair<double, double>> minutes;
  for (const HeparinCell& cell : grid.cells) {
    const double enough = (target_s - cell.base) / cell.slope, amount = grid.amounts[cell.rate][now];
    const double time = amount <= enough ? 0.0
                        : enough <= 0.0  ? kLongest_min
                                         : std::min(MinutesDownTo(amount, enough) / std::exp(grid.log_rates[cell.rate]), kLongest_min);
    minutes.emplace_back(time, cell.weight);
  }
  forecast.minutes_to_target = QuantilesOf(minutes);
  std::ranges::sort(minutes);
  double sum = 0.0, tenth = 30.0;
  for (const auto& one : minutes) {
    sum += one.second;
    if (sum >= 0.10) {
      tenth = one.first;
      break;
    }
  }
  forecast.sample_due_min = std::min(30.0, tenth);
}

Status Check(const HeparinCourse& course, double now_min, double target_s) {
  const auto finite = [](double value) { return std::isfinite(value); };
  bool fine = finite(now_min) && finite(target_s) && target_s > 0.0 && course.scale.slope > 0.0 && course.scale.baseline_s > 0.0;
  bool given = false;
  for (const HeparinBolus& bolus : course.boluses) {
    fine = fine && finite(bolus.at_min) && bolus.per_kg > 0.0 && bolus.per_kg < 2000.0;
    given = given || bolus.at_min <= now_min;
  }
  for (const HeparinDrip& drip : course.drips) {
    fine = fine && finite(drip.from_min) && drip.to_min >= drip.from_min && drip.per_kg_min >= 0.0 && drip.per_kg_min < 100.0 && now_min - drip.from_min < 2880.0;
    given = given || drip.from_min < now_min;
  }
  for (const ActSample& sample : course.samples) fine = fine && finite(sample.at_min) && sample.act_s > 0.0 && finite(sample.act_s);
  if (!fine) return Error{"a dose, a time or an ACT is no number that can be", "heparin", "look at the doses and samples"};
  if (!given) return Error{"no heparin was given before that moment", "heparin", "give the first dose and its time"};
  return Done{};
}

}  // namespace

Result<HeparinForecast> ForecastAct(const HeparinCourse& course, double now_min, double target_s) {
  if (auto fine = Check(course, now_min, target_s); !fine.ok()) return fine.error();
  HeparinForecast forecast;
  const std::vector<ActPoint> readings = ActPoints(course, now_min, forecast);
  HeparinGrid grid = MakeHeparinGrid(course, readings, now_min);
  WeighHeparin(grid, course, readings);
  const std::size_t now = readings.size();
  const auto act = [&](std::size_t column) { return [&grid, column](const HeparinCell& cell) { return cell.base + cell.slope * grid.amounts[cell.rate][column]; }; };
  forecast.act_now = Over(grid, act(now));
  forecast.act_in_30 = Over(grid, act(now + 2));
  forecast.measured_in_30 = Blurred(grid, now + 2);
  forecast.below_now = Below(grid, now, target_s);
  forecast.below_in_15 = Below(grid, now + 1, target_s);
  forecast.below_in_30 = Below(grid, now + 2, target_s);
  forecast.per_kg_left = Over(grid, [&](const HeparinCell& cell) { return grid.amounts[cell.rate][now]; }).p50;
  const auto top_up = [&](const HeparinCell& cell) { return std::max(0.0, (target_s - cell.base) / cell.slope - grid.amounts[cell.rate][now]); };
  forecast.top_up = Over(grid, top_up);
  forecast.act_after_top_up = Over(grid, [&](const HeparinCell& cell) { return cell.base + cell.slope * (grid.amounts[cell.rate][now] + forecast.top_up.p50); });
  forecast.sample_due_min = 30.0;
  const bool drips = std::ranges::any_of(course.drips, [&](const HeparinDrip& drip) { return drip.to_min > now_min && drip.per_kg_min > 0.0; });
  if (!drips) TimeToTarget(grid, now, target_s, forecast);
  const auto gifts = HeparinGifts(course, now_min);
  const auto best = std::ranges::max_element(grid.cells, {}, &HeparinCell::weight);
  const LikeliestPatient likeliest =
      FindLikeliest({std::log(best->slope / course.scale.slope), grid.log_rates[best->rate]}, best->base, course, readings, gifts);
  forecast.log_slope = likeliest.log_slope;
  forecast.log_rate = likeliest.log_rate;
  forecast.outside = std::abs(likeliest.log_slope) > kBorderSds * kSlopeSd || std::abs(likeliest.log_rate) > kBorderSds * kRateSd;
  std::vector<double> times;
  times.reserve(readings.size());
  for (const ActPoint& reading : readings) times.push_back(reading.at_min);
  const auto amounts = HeparinAmounts(gifts, times, std::exp(likeliest.log_rate));
  for (std::size_t r = 0; r < readings.size(); ++r) {
    const double misfit = readings[r].log_act - std::log(best->base + course.scale.slope * std::exp(likeliest.log_slope) * amounts[r]);
    forecast.misfit.push_back(misfit);
    if (std::abs(misfit) > kSuspectLog && !readings[r].bound) forecast.suspect = true;
  }
  return forecast;
}

LikeliestPatient LikeliestOf(const HeparinCourse& course, double now_min) {
  HeparinForecast unused;
  return FindLikeliest({0.0, 0.0}, course.scale.baseline_s, course, ActPoints(course, now_min, unused), HeparinGifts(course, now_min));
}

double AmountOf(const HeparinCourse& course, const LikeliestPatient& patient, double now_min) {
  const std::array<double, 1> times = {now_min};
  return HeparinAmounts(HeparinGifts(course, now_min), times, std::exp(patient.log_rate)).front();
}

std::optional<double> MinutesToTarget(const HeparinCourse& course, const LikeliestPatient& patient, double now_min, double target_s) {
  if (std::ranges::any_of(course.drips, [&](const HeparinDrip& drip) { return drip.to_min > now_min && drip.per_kg_min > 0.0; })) return std::nullopt;
  const double enough = (target_s - course.scale.baseline_s) / (course.scale.slope * std::exp(patient.log_slope));
  if (!(enough > 0.0)) return std::nullopt;
  return MinutesDownTo(AmountOf(course, patient, now_min), enough) / std::exp(patient.log_rate);
}

}  // namespace fairlead
