// SPDX-License-Identifier: Apache-2.0
#include "reasoning/budget/budget.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "measure/source.h"

namespace fairlead {
namespace {

constexpr double kWindow_min = 20.0;
constexpr int kFewest = 3;
constexpr double kSteadiest = 0.15, kWildest = 0.8;  // relative spread of a rate; chosen
constexpr double kNinetyFifth = 1.6448536269514722;  // of the standard normal
// Before there are readings. Medians of published cases less a fixed block of 60 mL (JACC Cardiovasc Interv
// 2018;11:1325-1335, "progress-2018"_source; spread assumed), and 18 mGy a minute of procedure (assumed, between 14 and
// 24 of published series).
constexpr double kContrastRate = 1.4, kContrastSpread = 0.45;
constexpr double kKermaRate_gy = 0.018, kKermaSpread = 0.5;
constexpr std::array<double, 3> kKermaSteps_gy = {3.0, 5.0, 7.0};
constexpr double kContrastDays = 7.0, kKermaDays = 60.0;

RunRate RateOf(double mid, double spread, bool prior, int readings) {
  return {{mid * std::exp(-kNinetyFifth * spread), mid, mid * std::exp(kNinetyFifth * spread)}, prior, readings};
}

RunBand Fixed(double value) { return {value, value, value}; }

void Finish(Budget& budget) {
  if (!budget.limit) return;
  budget.left = *budget.limit - budget.reserve - budget.used.value_or(0.0);
  if (budget.rate) budget.minutes_left = MinutesLeft(*budget.left, *budget.rate);
}

Budget TimeBudget(const RunState& run, const RunLimits& limits, Instant now) {
  Budget budget;
  budget.used = ProcedureMinutes(run, now);
  budget.used_at = now;
  budget.limit = limits.minutes;
  budget.limit_says = "checkpoint";
  budget.reserve = limits.reserve.minutes;
  Finish(budget);
  if (budget.used) budget.minutes_left = Fixed(std::max(0.0, *budget.left));
  return budget;
}

void TakeUsed(Budget& budget, std::span<const At<double>> sums) {
  if (sums.empty()) return;
  budget.used = sums.back().value;
  budget.used_at = sums.back().at;
}

std::string Whole(double value) { return std::to_string(std::lround(value)); }

Budget ContrastBudget(const RunState& run, const RunPatient& patient, const RunLimits& limits, Instant now) {
  Budget budget;
  TakeUsed(budget, run.contrast);
  budget.reserve = limits.reserve.contrast_ml;
  const auto kidney = KidneyFunction(patient);
  if (NoRatio(patient)) {
    budget.limit_says = "dialysis or kidney function below 15: a ratio says nothing";
  } else if (!kidney) {
    budget.limit_says = "kidney function is not known";
  } else {
    std::array<char, 32> ratio{};
    const int length = std::snprintf(ratio.data(), ratio.size(), "%g", limits.contrast_ratio);
    budget.limit = limits.contrast_ratio * *kidney;
    budget.limit_says = std::string(ratio.data(), static_cast<std::size_t>(length)) + " x kidney function " + Whole(*kidney);
    budget.band = ContrastBandOf(budget.used.value_or(0.0) / *kidney);
  }
  budget.rate = RecentRate(run.contrast, now);
  if (!budget.rate) budget.rate = RateOf(kContrastRate, kContrastSpread, true, static_cast<int>(run.contrast.size()));
  Finish(budget);
  return budget;
}

Budget ConsoleBudget(const Console& console, double limit, double reserve, std::optional<RunRate> otherwise) {
  Budget budget;
  TakeUsed(budget, console.sums);
  budget.limit = limit;
  budget.limit_says = "substantial level";
  budget.reserve = reserve;
  if (!console.sums.empty()) budget.rate = RecentRate(console.sums, console.sums.back().at);
  if (!budget.rate) budget.rate = otherwise;
  Finish(budget);
  return budget;
}

}  // namespace

std::optional<RunRate> RecentRate(std::span<const At<double>> sums, Instant until) {
  const Instant from = until + Duration::Minutes(-kWindow_min);
  std::size_t first = 0;  // the reading that the window's increments are counted from
  while (first + 1 < sums.size() && sums[first + 1].at <= from) ++first;
  int readings = 0;
  double sum = 0.0, squares = 0.0;
  for (std::size_t i = first; i < sums.size() && sums[i].at <= until; ++i) {
    ++readings;
    if (i == first) continue;
    const double jump = std::max(0.0, sums[i].value - sums[i - 1].value);
    sum += jump;
    squares += jump * jump;
  }
  if (readings < kFewest || !(sum > 0.0)) return std::nullopt;
  const double minutes = (until - std::max(from, sums[first].at)).minutes();
  if (!(minutes > 0.0)) return std::nullopt;
  return RateOf(sum / minutes, std::clamp(std::sqrt(squares) / sum, kSteadiest, kWildest), false, readings);
}

RunBand MinutesLeft(double left, const RunRate& rate) {
  if (left <= 0.0) return {};
  return {left / rate.per_min.high, left / rate.per_min.mid, left / rate.per_min.low};
}

std::optional<double> ProcedureMinutes(const RunState& run, Instant now) {
  const RunSession* session = PresentSession(run);
  if (session == nullptr) return std::nullopt;
  const Instant end = session->end ? std::min(*session->end, now) : now;
  return std::max(0.0, (end - session->access.value_or(session->start)).minutes());
}

RunBudgets BudgetsOf(const RunState& run, const RunPatient& patient, const RunLimits& limits, Instant now) {
  RunBudgets budgets;
  budgets.time = TimeBudget(run, limits, now);
  budgets.contrast = ContrastBudget(run, patient, limits, now);
  budgets.air_kerma = ConsoleBudget(run.air_kerma, limits.air_kerma_gy, limits.reserve.air_kerma_gy, RateOf(kKermaRate_gy, kKermaSpread, true, 0));
  budgets.air_kerma.band = static_cast<int>(std::ranges::count_if(kKermaSteps_gy, [&](double step) { return budgets.air_kerma.used.value_or(0.0) >= step; }));
  budgets.kerma_area = ConsoleBudget(run.kerma_area, limits.kerma_area_gycm2, 0.0, std::nullopt);
  budgets.fluoro = ConsoleBudget(run.fluoro, limits.fluoro_min, 0.0, std::nullopt);
  if (const auto kidney = KidneyFunction(patient); kidney && !NoRatio(patient) && budgets.contrast.used) budgets.contrast_to_kidney = *budgets.contrast.used / *kidney;
  for (const EarlierUse& use : run.earlier) {
    const double days = (now - use.at).minutes() / (24.0 * 60.0);
    if (days <= kContrastDays) budgets.earlier_contrast_ml += use.contrast_ml;
    if (days <= kKermaDays) budgets.earlier_kerma_gy += use.air_kerma_gy;
  }
  return budgets;
}

}  // namespace fairlead
