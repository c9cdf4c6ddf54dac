// SPDX-License-Identifier: Apache-2.0
#include "reasoning/budget/heparin_grid.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace fairlead {
namespace {

constexpr double kMixing_min = 3.0;        // a sample sooner after a bolus is not mixed; practice, no source
constexpr double kTogether_min = 3.0;      // two samples this close are one, with half the variance
constexpr double kLinearTo_s = 500.0;      // above it an ACT is a lower bound
constexpr double kReach = 5.0;             // sds on each side of the grid

std::vector<double> Even(double sd, int points) {
  std::vector<double> values;
  values.reserve(static_cast<std::size_t>(points));
  for (int i = 0; i < points; ++i) values.push_back(sd * kReach * (2.0 * i / (points - 1) - 1.0));
  return values;
}

}  // namespace

std::vector<ActPoint> ActPoints(const HeparinCourse& course, double now_min, HeparinForecast& forecast) {
  std::vector<ActPoint> readings;
  for (const ActSample& sample : course.samples) {
    if (sample.at_min > now_min) continue;
    const bool unmixed = std::ranges::any_of(course.boluses, [&](const HeparinBolus& bolus) {
      return bolus.at_min <= sample.at_min && sample.at_min - bolus.at_min < kMixing_min;
    });
    const bool before = std::ranges::none_of(course.boluses, [&](const HeparinBolus& b) { return b.at_min <= sample.at_min; }) &&
                        std::ranges::none_of(course.drips, [&](const HeparinDrip& d) { return d.from_min <= sample.at_min; });
    if (before) continue;  // a baseline, not a response
    if (unmixed) {
      ++forecast.too_early;
      continue;
    }
    ++forecast.used;
    const bool bound = sample.off_scale || sample.act_s > kLinearTo_s;
    const double log_act = std::log(bound ? std::min(sample.act_s, kLinearTo_s) : sample.act_s);
    if (!readings.empty() && !bound && !readings.back().bound && sample.at_min - readings.back().at_min <= kTogether_min) {
      ActPoint& last = readings.back();
      forecast.suspect = forecast.suspect || std::abs(log_act - last.log_act) > kSuspectLog;  // the same blood cannot be both
      last = {0.5 * (last.at_min + sample.at_min), 0.5 * (last.log_act + log_act), kResidualSd / std::numbers::sqrt2, false};
    } else {
      readings.push_back({sample.at_min, log_act, kResidualSd, bound});
    }
  }
  return readings;
}

std::vector<HeparinBolus> HeparinGifts(const HeparinCourse& course, double until_min) {
  std::vector<HeparinBolus> gifts = course.boluses;
  for (const HeparinDrip& drip : course.drips) {
    const double end = std::min(drip.to_min, until_min);
    for (double t = drip.from_min; t < end; t += 1.0) gifts.push_back({t + 0.5 * std::min(1.0, end - t), drip.per_kg_min * std::min(1.0, end - t)});
  }
  std::ranges::stable_sort(gifts, {}, &HeparinBolus::at_min);
  return gifts;
}

std::vector<double> HeparinAmounts(std::span<const HeparinBolus> gifts, std::span<const double> times_min, double kappa) {
  std::vector<double> amounts;
  double amount = 0.0, at = 0.0;
  std::size_t next = 0;
  for (const double t : times_min) {
    for (; next < gifts.size() && gifts[next].at_min <= t; ++next) {
      amount = AmountAfter(amount, kappa * (gifts[next].at_min - at)) + gifts[next].per_kg;
      at = gifts[next].at_min;
    }
    amount = AmountAfter(amount, kappa * (t - at));
    at = std::max(at, t);
    amounts.push_back(amount);
  }
  return amounts;
}

double ActLogLikelihood(const ActPoint& reading, double log_model) {
  const double z = (reading.log_act - log_model) / reading.sd;
  if (!reading.bound) return -0.5 * z * z;
  return std::log(std::max(0.5 * std::erfc(z / std::numbers::sqrt2), 1e-300));
}

HeparinGrid MakeHeparinGrid(const HeparinCourse& course, std::span<const ActPoint> readings, double now_min) {
  HeparinGrid grid;
  const bool known = course.scale.baseline_sd_s <= 0.0;
  grid.log_rates = Even(kRateSd, known ? course.grid : course.grid / 2 + 1);
  grid.log_slopes = Even(kSlopeSd, known ? course.grid : course.grid / 2 + 1);
  grid.baselines = known ? std::vector<double>{0.0} : Even(course.scale.baseline_sd_s * 0.6, 7);
  std::vector<double> times;
  for (const ActPoint& reading : readings) times.push_back(reading.at_min);
  for (const double later : {0.0, 15.0, 30.0}) times.push_back(now_min + later);
  const auto gifts = HeparinGifts(course, now_min + 30.0);
  for (const double log_rate : grid.log_rates) grid.amounts.push_back(HeparinAmounts(gifts, times, std::exp(log_rate)));
  return grid;
}

void WeighHeparin(HeparinGrid& grid, const HeparinCourse& course, std::span<const ActPoint> readings) {
  const double base_sd = course.scale.baseline_sd_s;
  double best = -std::numeric_limits<double>::infinity();
  std::vector<HeparinCell> all;
  for (std::size_t j = 0; j < grid.log_rates.size(); ++j) {
    const double rate_z = grid.log_rates[j] / kRateSd;
    for (const double log_slope : grid.log_slopes) {
      const double slope = course.scale.slope * std::exp(log_slope), slope_z = log_slope / kSlopeSd;
      for (const double shift : grid.baselines) {
        const double base = course.scale.baseline_s + shift, base_z = base_sd > 0.0 ? shift / base_sd : 0.0;
        double log_weight = -0.5 * (rate_z * rate_z + slope_z * slope_z + base_z * base_z);
        for (std::size_t r = 0; r < readings.size(); ++r)
          log_weight += ActLogLikelihood(readings[r], std::log(base + slope * grid.amounts[j][r]));
        best = std::max(best, log_weight);
        all.push_back({slope, base, log_weight, j});
      }
    }
  }
  double sum = 0.0;
  for (HeparinCell& cell : all) {
    cell.weight = std::exp(cell.weight - best);
    if (cell.weight < 1e-9) continue;
    sum += cell.weight;
    grid.cells.push_back(cell);
  }
  for (HeparinCell& cell : grid.cells) cell.weight /= sum;
}

}  // namespace fairlead
