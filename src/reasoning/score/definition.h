// SPDX-License-Identifier: Apache-2.0
// A published score as data: what it asks, of whom, its items with points, its groups and the outcome published for
// each.
#pragma once

#include <span>
#include <string_view>

#include "measure/source.h"

namespace fairlead {

// What may be done with a score. Decides what is shown: see Evaluate in score.h.
enum class ScoreStatus {
  kFull,    // total, group and published rates
  kCheck,   // total and group; a point, cut-off or rate rests on memory, so no rate is shown
  kPoints,  // total and group; no rate is published readably, or only the bounds in the table
  kHold,    // points not verified: only the facts that count against the patient, no total
};
enum class Question { kWire, kSuccess, kChannel, kHarm, kKidney };
enum class Polarity { kHigherIsHarder, kHigherIsRiskier, kHigherIsEasier };

enum class Compare {
  kIn,               // the grade is one of `words` ("yes" and "no" for a flag)
  kNotIn,            // the grade is none of `words`
  kAtLeast,          // number >= cut
  kAbove,            // number > cut
  kAtMost,           // number <= cut
  kBelow,            // number < cut
  kAboveAmbiguous,   // number > cut, and at the cut itself the source contradicts itself: unknown
  kNotDeterminable,  // somebody answered that it cannot be determined
};

struct Test {
  std::string_view fact;
  Compare compare;
  double cut = 0.0;                           // in the fact's unit
  std::span<const std::string_view> words{};  // for kIn and kNotIn
};

// Levels of an item are tried in order; the first true one gives its points and its weight in the model.
struct Level {
  double points;  // multiple of 0.5
  Test test;
  std::string_view when;  // "blunt or no stump"
  double beta = 0.0;      // natural logarithm of the published odds ratio, where there is a model
};

struct ScoreItem {
  std::string_view id;
  std::string_view label;
  std::span<const Level> levels;
  double per = 0.0;         // if > 0: one point for each full `per` of the fact `levels[0].test.fact` instead
  bool favourable = false;  // HOLD scores: the finding speaks for the patient
};

// Where a group stands among the groups of its score, for comparing scores with each other. Chosen here.
enum class Band { kNone, kLow, kMiddle, kHigh };

struct ScoreGroup {
  double low, high;  // totals, inclusive
  std::string_view name;
  Band band = Band::kNone;
};

// The published outcome of each group, in the order of the groups.
struct Rate {
  double low, high;  // equal when one figure is published; shares in [0, 1]
};
struct RateTable {
  std::string_view what;    // "wire across within 30 min"
  std::string_view cohort;  // "derivation, 329 lesions"
  std::span<const Rate> rates;
  Checked checked;
  SourceId source;
};

enum class ModelKind {
  kNone,
  kOddsRatio,  // exp(sum of betas): odds against a total of 0
  kLogistic,   // 1 / (1 + exp(-(a + sum of betas))), a between the two intercepts
};
struct RiskModel {
  ModelKind kind = ModelKind::kNone;
  double intercept_low = 0.0, intercept_high = 0.0;
  std::string_view what;
  std::string_view cohort;
  SourceId source{};
};

// A finding that takes the case out of the score's population.
struct Exclusion {
  Test test;
  std::string_view why;  // "derived on first attempts only"
  bool ask = true;       // whether to say so when the finding is unknown
};

struct ScoreDefinition {
  std::string_view id;  // "j-cto"
  std::string_view name;
  Question question;
  std::string_view endpoint;
  Polarity polarity;
  ScoreStatus status;
  std::string_view status_why;
  double low, high, step;
  std::span<const ScoreItem> items;
  std::span<const ScoreGroup> groups;
  std::span<const RateTable> rates;
  RiskModel model;
  std::span<const Exclusion> exclusions;
  bool by_strategy;  // give the antegrade, dissection and retrograde columns side by side
  bool per_channel;  // one result for each collateral channel
  std::string_view population;
  std::string_view not_for;
  std::string_view performance;
  std::span<const SourceId> sources;
};

// All scores, difficulty first, in the order in which they are shown.
std::span<const ScoreDefinition* const> AllScores();

// Null if there is no such score.
const ScoreDefinition* FindScore(std::string_view id);

}  // namespace fairlead
