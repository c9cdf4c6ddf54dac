// SPDX-License-Identifier: Apache-2.0
// What one's own attempts make of the published priors: a text that is proposed, and in force only when the lab accepts
// it. Each figure says how many attempts it rests on and how much of it is one's own.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "practice/audit/proportion.h"
#include "practice/learning/cure.h"
#include "practice/learning/observed.h"
#include "practice/learning/survival.h"
#include "reasoning/strategy/priors.h"

namespace fairlead {

inline constexpr double kStopRatio = 1.5;  // assumed: a lesion that cannot be crossed is left that much faster
inline constexpr std::array<double, 2> kStopRatios = {1.0, 3.0};  // the band that it could cost
inline constexpr double kTogether = 0.5;   // assumed: see CurePrior
inline constexpr double kByMinutes = 30.0; // the planner needs the share across by so many minutes, not the ceiling

struct LearnedFigure {
  double published = 0.0, own = 0.0;  // own: published and own together
  double low = 0.0, high = 0.0;       // 90 %
  double share = 0.0;                 // of what is known about it now, one's own: 1 - variance after / before
};

struct LearnedGroup {                 // one class of difficulty
  int attempts = 0, crossed = 0;
  LearnedFigure can, median_min, by_30;
  std::array<double, kStopRatios.size()> can_if{};    // stops otherwise informative
  std::array<double, kStopRatios.size()> by_30_if{};
};

struct LearnedStrategy {
  std::string id, words;
  int attempts = 0, crossed = 0, complications = 0, stopped = 0, planned = 0, later_in_case = 0;
  double minutes = 0.0;
  double watched_min = 0.0;           // of them, of attempts whose complications would have been seen
  std::array<LearnedGroup, kDifficulties> groups{};
  LearnedFigure complications_per_hour;
  bool ceiling_told = false;          // the data alone say whether the rest could be crossed with more time
  std::vector<SurvivalStep> seen;     // all difficulties together
  std::vector<double> published_by, own_by;  // share across by every fifth minute to 90, for this mix of difficulty
};

// Of one step against one failure: how often the way went on from there. No cause: who tried what was not drawn by lot.
struct StepShare {
  std::string reason, step;
  std::int64_t tried = 0, worked = 0;
  Interval band;                      // 95 %, Wilson
};

struct Learned {
  std::string date;                   // "2026-11-30"
  int attempts = 0, cases = 0, invented = 0, no_difficulty = 0, open = 0, unknown_strategy = 0;
  std::array<int, 4> stops_shown{};   // by ShownThen: nothing, before, within, after
  std::vector<LearnedStrategy> strategies;
  std::vector<StepShare> steps;       // by reason, the commonest first
  int steps_open = 0;
  Priors proposal;
  std::vector<std::string> says;      // sentences: limits of what was learnt
};

// The prior that learning starts from: `in_force` with its learnt figures put back to the published ones, so that no
// attempt counts twice.
Priors StartOfLearning(const Priors& in_force);

// `date` labels the text. Without attempts the proposal is `start`, figure by figure.
Learned Learn(const Observed& observed, const Priors& start, const std::string& date);

// Of docs/wire.md.
std::string LearnedJson(const Learned& learned, const Priors& in_force);

}  // namespace fairlead
