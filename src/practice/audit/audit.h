// SPDX-License-Identifier: Apache-2.0
// The practice's own figures for one slice of its cases, each with its count, its interval and what was left out.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "measure/source.h"
#include "practice/audit/calibration.h"
#include "practice/audit/cusum.h"
#include "practice/audit/expected.h"
#include "practice/audit/funnel.h"
#include "practice/audit/packed.h"
#include "practice/audit/published.h"
#include "practice/audit/row.h"

namespace fairlead {

// What is looked at: nothing set is everything.
struct Slice {
  std::optional<Instant> since{}, until{};  // began in [since, until)
  std::string by{}, vessel{}, strategy{};   // exact words; strategy is the first one tried
  std::optional<int> j_cto_from{}, j_cto_to{};
  bool first_attempts = false;              // only cases of which it is known that nobody had tried before
};

bool InSlice(const CaseRow& row, const Slice& slice);

struct AuditShare {
  Count count;
  Interval interval;
};

struct Quartiles {
  std::size_t cases = 0;  // that have the figure
  double low = 0, middle = 0, high = 0;
  // 95 % of each, whatever the law of the figure: between two of the values in order, by the binomial law of how many lie
  // below. Infinite where the cases are too few to bound it.
  Interval low_within, middle_within, high_within;
};
Quartiles QuartilesOf(std::vector<double> values);  // interpolated as most statistics programs do ("type 7")

struct AuditPart {
  std::string name;
  std::optional<AuditShare> success, complication;
};

struct FunnelUnit {
  std::string name;       // a year, never a person
  Count failures;
  double expected = 0, variance = 0;
  double ratio = 0;
  double limits[4] = {};  // of the ratio, at kFunnelTails
  std::optional<Interval> widened;  // 95 %, where years differ by more than chance: their own variance added
};

// Whether units of time differ more than chance alone makes them. Years where there are ten of them, else quarters: of fewer
// units nothing is estimated.
struct FunnelSpread {
  std::string units;      // "years", "quarters"
  std::size_t count = 0;
  Spread spread;          // of observed / expected
};

// How sure it is that the odds of failure differ from the published ones: the chance that the factor on all odds is above 1,
// 1.5 and 2, and below 1 / 1.5, given these cases and a prior of ln(factor) ~ N(0, 0.5^2) (practice, no source).
struct OddsBelief {
  double above = 0, half_more = 0, doubled = 0, third_less = 0;
};
OddsBelief BelieveOdds(std::span<const JudgedClass> classes);

// What was seen against one published score's rates.
struct YardstickFound {
  const Yardstick* yardstick = nullptr;
  std::size_t judged = 0, facts_missing = 0, not_made_for = 0, no_outcome = 0;
  std::optional<AgainstExpected> against;       // with bounds alone published: against the lower end of the chance
  std::optional<AgainstExpected> against_high;  // and against its higher end
};

struct Series {           // of technical failure against the published model, in order of time
  std::size_t judged = 0;          // cases in it
  // What is drawn: every case up to 2,000, beyond it every so-and-so-many-th, the last, and the first 2,000 signals of each chart.
  std::vector<std::size_t> at;     // numbers of the cases, from 0
  std::vector<std::string> cases;  // their ids
  Charts charts;                   // their values
  Threshold worse, better;
  std::vector<std::size_t> worse_signals, better_signals;  // the sum starts anew after each
  double false_alarm_in_50 = 0;     // chance that `worse` signals within 50 cases though nothing changed
  double seen_in_50 = 0;            // that it does if all odds are doubled
};

// A stretch of consecutive cases: what failed of them against what was expected.
struct CaseStretch {
  std::size_t first = 0, last = 0;  // case numbers, from 1
  AgainstExpected found;
};
// How the odds of failure stand against the expected ones at a case number, by the learning line.
struct LearningPoint {
  double number = 0;
  double odds_factor = 1;
  Interval interval;
};

// The published model moved on the earlier half of the cases, judged on the later half: never on its own cases.
struct OwnModel {
  std::size_t learnt_from = 0;
  LogitLine line;
  AgainstExpected later;
};

struct MissingPart {
  std::string name;           // of a member of the row
  AuditShare share;           // cases that lack it
};

// When a way was left that had not crossed.
struct LeftWay {
  std::string strategy;
  std::size_t attempts = 0;   // of this way that did not cross
  Quartiles minutes;          // at work in it
  Quartiles stalled_min;      // from its last progress to its end; of those where the log tells
};
// What was tried next after a way was left for a reason, and whether that crossed.
struct Remedy {
  std::string reason;         // a code of the log's; empty: nobody said
  std::string next;           // strategy
  AuditShare crossed;
};
// Whether the way tried next was the one that the ladder on the screen had put next.
struct LadderFollowed {
  std::optional<AuditShare> followed;  // of the changes before which it was shown; Wilson
  std::size_t not_shown = 0;           // changes before which it was not, or the log does not tell
};
struct KitUse {
  std::string kind;
  AuditShare used;            // cases with at least one
  Quartiles count;            // a case
};

struct Audit {
  std::size_t cases = 0;                       // in the slice
  std::size_t invented = 0;                    // of them
  std::size_t no_outcome = 0, no_difficulty = 0, no_complication_entry = 0;
  std::optional<AuditShare> success;                // Wilson
  std::optional<AuditShare> complication;           // exact
  std::optional<AuditShare> procedural;             // technical success without a major complication; Wilson
  std::optional<OddsBelief> belief;
  std::vector<YardstickFound> by_score;        // in the order of the scores
  std::optional<AgainstExpected> failures;     // against the published model
  std::optional<Series> series;
  std::optional<LogitLine> in_the_large, line, recalibrated, learning;
  std::vector<Moved> moved;                    // chance of failure by class of difficulty: published, and moved
  std::vector<CalibrationGroup> by_class;      // 0, 1, 2, 3 or more
  std::vector<SmoothPoint> smooth;             // empty: too few cases for a curve
  std::optional<Discrimination> discrimination;
  std::optional<Brier> brier;
  std::vector<CaseStretch> stretches;              // ten or fewer of equal count, at least 20 cases each
  std::vector<LearningPoint> learning_curve;
  std::optional<OwnModel> own_model;
  std::vector<MissingPart> missing;
  std::vector<LeftWay> left_ways;              // by name
  std::vector<Remedy> remedies;                // by reason and name
  LadderFollowed ladder;
  std::size_t left_for_good = 0;               // attempts that did not cross and were the last of their case
  std::vector<KitUse> kit;
  Quartiles minutes, contrast_ml, air_kerma_gy;
  std::vector<AuditPart> by_strategy, by_vessel, by_difficulty, by_year;
  std::vector<FunnelUnit> funnel;
  std::optional<FunnelSpread> spread;
  std::vector<std::string> says;               // plain sentences: what this can show, and what not
};

// Published chance of technical failure by class of J-CTO; the outside yardstick.
struct Reference {
  double failure[4];
  SourceId source;
};
const Reference& FailureReference();

// Rows in any order. Cost grows with the cases (docs/methods-audit.md has the curve).
Audit RunAudit(std::span<const CaseRow> rows, const Slice& slice);
Audit RunAudit(const PackedCases& all, const Slice& slice);
std::string AuditJson(const Audit& audit, const Slice& slice);

}  // namespace fairlead
