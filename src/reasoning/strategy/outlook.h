// SPDX-License-Identifier: Apache-2.0
// What a ladder says to people, the robust first: what the budgets still allow, over which minutes leaving makes no
// odds, then the two ways on and their difference, then the plan. Bands are the value under draws from the priors.
#pragma once

#include <string>
#include <vector>

#include "reasoning/strategy/draws.h"
#include "reasoning/strategy/solve.h"

namespace fairlead {

inline constexpr int kMoreMinutes = 10;           // "ten more minutes, then change"
inline constexpr double kNoOdds = 0.01;           // a loss of utility below one point makes no odds; chosen
inline constexpr double kClearDifference = 0.01;  // chosen

struct RungView {
  std::size_t strategy = 0;
  int minutes = 0;                // of work before changing
  int flat_from = 0, flat_to = 0; // leaving at any of these minutes loses less than kNoOdds
  double p_cross = 0.0;           // given that it is reached
  Spending expected{};            // given that it is reached
  double harm = 0.0;              // chance of a complication, given that it is reached
};

// One strategy against the budgets, while the current one (or none) goes on.
struct FitView {
  std::size_t strategy = 0;
  double needs_min = 0.0;          // set-up and the least work
  bool fits_now = false;
  std::optional<double> fits_for_min;  // minutes of the current strategy after which it no longer fits; nullopt: no limit binds
  std::size_t binds = kMinutes;    // which budget
};

struct WayOn {
  std::vector<Rung> plan;          // the current strategy first if it goes on
  double p_cross = 0.0, harm = 0.0;
  DrawBand band, harm_band;
};
struct Patience {
  int more_min = 0;                // kMoreMinutes, or what the budgets leave
  WayOn change_now, ten_more;
  double difference = 0.0;         // ten more, then change, minus change now: chance to finish within the limits
  DrawBand difference_band;
  bool clear = false;              // the band leaves 0 out and the difference is at least kClearDifference
  double kept_to_end = 0.0;        // chance if the current attempt is kept until a budget ends it
};

struct LossPoint {
  int minutes = 0;
  double loss = 0.0;               // of utility, if the current (or first) strategy is left then
};
struct CurveView {
  std::size_t strategy = 0;
  std::vector<double> crossed_by;  // every five minutes from 0, of one who starts it now
};

struct Outlook {
  Solution solution;
  DrawBand p_cross, harm;              // of the plan, under the draws
  std::vector<RungView> rungs;
  std::vector<FitView> fits;
  std::vector<LossPoint> losses;   // by minute of the first rung; of an attempt under way, from now on
  std::optional<Patience> patience;  // with an attempt under way, or a plan with a first rung
  std::vector<CurveView> curves;
  double stop_now_worth = 0.0;     // worth of leaving now, on the scale where a crossing today is 1
};
// Once `gone` is asked to stop, what has been found so far comes back at once; nobody is to be shown it.
Outlook Look(const Ladder& ladder, const Priors& priors, int draws = 200, const std::stop_token* gone = nullptr);
// The minutes around the best one over which leaving loses less than kNoOdds.
struct FlatMinutes {
  int from = 0, to = 0;
};
std::optional<FlatMinutes> FlatOf(const std::vector<LossPoint>& losses);

// --- The slower questions.
struct OrderShare {
  std::string order;               // "AW, ADR"
  double share = 0.0;
};
struct WhatIf {
  std::string what;                // "ADR can cross: 4 in 10 instead of 7"
  std::string order;               // of the plan then
  bool same_order = false;
  double p_cross = 0.0;
};
// The best plan where a complication counts so many crossings.
struct WeightView {
  double weight = 0.0;
  std::string order;
  double p_cross = 0.0, harm = 0.0;
  bool in_force = false;           // the weight of the priors
};
struct Doubts {
  std::vector<OrderShare> shares;  // most frequent first
  std::vector<int> first_minutes;  // 5, 50, 95 in 100 of the first rung's minutes where it stays first
  double loss_mean = 0.0;          // what the plan loses on average against the best for each draw
  std::vector<WhatIf> what_if;
  std::vector<WeightView> weights; // from lightest to heaviest
};
Doubts Doubt(const Ladder& ladder, const Priors& priors, const Outlook& outlook, int draws = 60, const std::stop_token* gone = nullptr);

std::string OrderOf(const Ladder& ladder, const std::vector<Rung>& plan);

}  // namespace fairlead
