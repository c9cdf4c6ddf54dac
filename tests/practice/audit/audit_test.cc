// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/audit.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "measure/random.h"
#include "practice/audit/audit_parts.h"
#include "practice/audit/invented.h"
#include "tests/practice/audit/logs.h"

namespace fairlead {
namespace {

const Instant kLast = ParseIso("2026-11-20T09:00:00Z").value();

std::vector<CaseRow> SixtyRows() {
  std::vector<CaseRow> rows;
  for (std::size_t i = 0; i < kClasses.size(); ++i) {
    CaseRow row;
    row.id = "case-" + std::to_string(100 + i);
    row.began = {kLast.ms + static_cast<std::int64_t>(i) * 86'400'000};
    row.by = i % 2 == 0 ? "AB" : "CD";
    row.j_cto = kClasses[i] - '0';
    row.success = kFailed[i] == '0';
    rows.push_back(std::move(row));
  }
  return rows;
}

TEST(Audit, GivesTheFiguresOfTheKernelsWhateverTheOrderOfTheRows) {
  auto rows = SixtyRows();
  std::reverse(rows.begin(), rows.end());
  const Audit audit = RunAudit(rows, {});
  ASSERT_TRUE(audit.failures && audit.series && audit.success);
  EXPECT_EQ(audit.success->count.events, 47);
  EXPECT_NEAR(audit.failures->ratio, 1.370585134, 1e-9);     // R 4.2, reference.R
  EXPECT_NEAR(audit.series->charts.worse[12], 2.816423, 1e-6);
  ASSERT_FALSE(audit.series->worse_signals.empty());  // and the sum starts anew after it
  const std::size_t signal = audit.series->worse_signals.front();
  EXPECT_GE(audit.series->charts.worse[signal], audit.series->worse.h);
  EXPECT_LT(audit.series->charts.worse[signal + 1], audit.series->worse.h);
  EXPECT_EQ(audit.series->cases.front(), "case-100");
  EXPECT_FALSE(audit.complication);  // nobody wrote one down
  EXPECT_EQ(audit.no_complication_entry, 60U);
  EXPECT_FALSE(audit.line);          // 13 failures do not settle a slope
}

// R 4.2, reference.R: integrate() over the prior times the likelihood of the sixty attempts.
TEST(Audit, SaysHowSureItIsThatTheOddsDiffer) {
  const Audit audit = RunAudit(SixtyRows(), {});
  ASSERT_TRUE(audit.belief);
  EXPECT_NEAR(audit.belief->above, 0.836967714871, 2e-6);
  EXPECT_NEAR(audit.belief->half_more, 0.325359668523, 2e-6);
  EXPECT_NEAR(audit.belief->doubled, 0.0652887665437, 2e-6);
  EXPECT_NEAR(audit.belief->third_less, 0.00947193979257, 2e-6);
  EXPECT_TRUE(std::ranges::any_of(audit.says, [](const std::string& line) { return line.find("84 % that the odds of failure were above the published ones") != std::string::npos; }));
}

TEST(Audit, BelievesItsPriorWithoutACaseAndTheCasesWhenTheyAreMany) {
  const OddsBelief none = BelieveOdds({});
  EXPECT_NEAR(none.above, 0.5, 1e-6);
  EXPECT_NEAR(none.doubled, 0.5 * std::erfc(std::log(2) / 0.5 / std::sqrt(2)), 1e-6);  // the normal law itself
  const JudgedClass many{.expected = 0.1, .cases = 1'000'000, .events = 150'000};      // odds 1.588 times as high
  const OddsBelief sure = BelieveOdds(std::span(&many, 1));
  EXPECT_GT(sure.half_more, 0.999);
  EXPECT_LT(sure.doubled, 1e-9);
}

// Ranks by R 4.2: qbinom(.025, n, q) and qbinom(.975, n, q) + 1, reference.R.
TEST(Audit, QuartilesCarryIntervalsThatNeedNoLaw) {
  std::vector<double> values;
  for (int i = 101; i >= 1; --i) values.push_back(i);
  const Quartiles found = QuartilesOf(values);
  EXPECT_EQ(found.low, 26);
  EXPECT_EQ(found.middle, 51);
  EXPECT_EQ(found.high, 76);
  EXPECT_EQ(found.low_within.low, 17);
  EXPECT_EQ(found.low_within.high, 35);
  EXPECT_EQ(found.middle_within.low, 41);
  EXPECT_EQ(found.middle_within.high, 61);
  EXPECT_EQ(found.high_within.low, 67);
  EXPECT_EQ(found.high_within.high, 85);
  const Quartiles few = QuartilesOf({3, 1, 2, 5, 4});
  EXPECT_TRUE(std::isinf(few.low_within.low) && std::isinf(few.middle_within.low) && std::isinf(few.middle_within.high));
  EXPECT_EQ(few.high_within.low, 2);
}

// A property: figures that are counted instead of kept have the same quartiles as the figures themselves, with odd ones among
// them and without.
TEST(Audit, CountedFiguresHaveTheQuartilesOfTheFigures) {
  std::uint64_t state = 3;
  for (const int odd : {0, 1, 40}) {
    std::vector<double> values;
    Tally tally;
    for (int i = 0; i < 777; ++i) {
      state = state * 6364136223846793005ULL + 1442695040888963407ULL;
      const double value = static_cast<double>((state >> 40) % 300) / 2 + (i < odd ? 0.31 : 0);
      values.push_back(value), tally.Add(value);
    }
    const Quartiles plain = QuartilesOf(values), counted = tally.Found();
    std::sort(values.begin(), values.end());
    EXPECT_DOUBLE_EQ(plain.middle, values[388]);  // of 777 the 389th
    EXPECT_EQ(std::tie(plain.low, plain.middle, plain.high), std::tie(counted.low, counted.middle, counted.high));
    EXPECT_EQ(std::tie(plain.low_within.low, plain.high_within.high), std::tie(counted.low_within.low, counted.high_within.high));
  }
}

// A property: of samples of 40 from a known law at least 95 % of the intervals hold its true quartile.
TEST(Audit, IntervalsOfQuartilesCoverAsOftenAsTheySay) {
  std::uint64_t state = 11;
  const auto uniform = [&] {
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<double>(state >> 11) * 0x1p-53;
  };
  constexpr int kTrials = 2000;
  int held[3] = {};
  for (int trial = 0; trial < kTrials; ++trial) {
    std::vector<double> values(40);
    for (double& value : values) value = -std::log(1 - uniform());
    const Quartiles found = QuartilesOf(values);
    const Interval* within[3] = {&found.low_within, &found.middle_within, &found.high_within};
    for (int i = 0; i < 3; ++i) {
      const double truth = -std::log(1 - 0.25 * (i + 1));
      held[i] += within[i]->low <= truth && truth <= within[i]->high ? 1 : 0;
    }
  }
  for (const int count : held) EXPECT_GE(count, kTrials * 0.935);  // three standard errors below 95 %
}

// Years whose odds swing between a third and three times are told from chance; years that do not, and a practice that always
// fails half as often again, are not.
TEST(Audit, SeesYearsThatDifferByMoreThanChance) {
  struct Practice {
    double even, odd;
    bool differs;
  };
  for (const Practice& practice : {Practice{3, 1.0 / 3, true}, Practice{1, 1, false}, Practice{1.7, 1.7, false}}) {
    std::vector<CaseRow> rows;
    SeededRandom random(5);
    for (int i = 0; i < 2400; ++i) {
      const int year = i / 200;
      const double factor = year % 2 == 0 ? practice.even : practice.odd, p = factor * 0.135 / (1 - 0.135 + factor * 0.135);
      CaseRow row;
      row.id = std::to_string(i), row.began = ParseIso(std::to_string(2010 + year) + "-03-01T08:00:00Z").value(), row.j_cto = 2;
      row.success = random.Share() >= p;
      rows.push_back(std::move(row));
    }
    const Audit audit = RunAudit(rows, {});
    ASSERT_TRUE(audit.spread);
    EXPECT_EQ(audit.spread->units, "years");
    EXPECT_EQ(audit.spread->spread.beyond_chance, practice.differs) << practice.even << ": " << audit.spread->spread.phi;
    EXPECT_EQ(audit.funnel.front().widened.has_value(), practice.differs);
    if (!practice.differs) continue;
    EXPECT_GT(audit.funnel.front().widened->high, audit.funnel.front().limits[2]);
  }
}

TEST(Audit, LeavesMissingOutcomesOutAndSaysHowMany) {
  auto rows = SixtyRows();
  for (std::size_t i = 0; i < 5; ++i) rows[i].success.reset();
  rows[7].j_cto.reset();
  const Audit audit = RunAudit(rows, {});
  EXPECT_EQ(audit.no_outcome, 5U);
  EXPECT_EQ(audit.no_difficulty, 1U);
  EXPECT_EQ(audit.success->count.cases, 55);
  EXPECT_EQ(audit.series->cases.size(), 54U);
  EXPECT_TRUE(std::ranges::any_of(audit.says, [](const std::string& line) { return line.starts_with("5 have no outcome"); }));
}

// The figures of a practice however large: nothing is left out, and the drawn series stays small.
TEST(Audit, LeavesNothingOutOfAVeryLargePractice) {
  const auto rows = InventPastCases({.seed = 6, .cases = 30'000, .drift_from = 29'000, .last = Instant{ParseIso("2500-01-01T00:00:00Z").value()}});
  const Audit audit = RunAudit(rows, {});
  ASSERT_TRUE(audit.failures && audit.series && audit.line && audit.own_model);
  EXPECT_FALSE(audit.funnel.empty());
  EXPECT_EQ(audit.series->cases.size(), audit.series->charts.worse.size());
  EXPECT_GT(audit.failures->ratio_interval.high, audit.failures->ratio);
  EXPECT_LT(audit.failures->ratio_interval.low, audit.failures->ratio);
  EXPECT_LT(AuditJson(audit, {}).size(), 600'000U);
}

// A property: a slice of the whole is the audit of the slice's rows alone.
TEST(Audit, OfASliceIsTheAuditOfItsRowsAlone) {
  const auto rows = InventPastCases({.seed = 8, .cases = 400, .drift_from = 200, .last = kLast});
  const Slice slice{.since = Instant{kLast.ms - 900LL * 86'400'000}, .by = "AB", .vessel = "RCA", .j_cto_from = 1};
  std::vector<CaseRow> own;
  for (const CaseRow& row : rows) {
    if (InSlice(row, slice)) own.push_back(row);
  }
  EXPECT_GT(own.size(), 10U);
  EXPECT_EQ(AuditJson(RunAudit(rows, slice), {}), AuditJson(RunAudit(own, {}), {}));
}

TEST(Audit, CountsWhatIsMissingOfEachMember) {
  auto rows = SixtyRows();  // without vessel, attempts, complications, minutes, contrast and kerma
  for (std::size_t i = 0; i < 6; ++i) rows[i].success.reset();
  const Audit audit = RunAudit(rows, {});
  const auto of = [&](const std::string& name) {
    const auto found = std::ranges::find(audit.missing, name, &MissingPart::name);
    return found == audit.missing.end() ? Count{-1, -1} : found->share.count;
  };
  EXPECT_EQ(of("technical success").events, 6);
  EXPECT_EQ(of("technical success").cases, 60);
  EXPECT_EQ(of("vessel").events, 60);
  EXPECT_EQ(of("operator").events, 0);
}

// The model moved on the earlier half is judged on the later half alone: where the later half is drawn from the moved model
// it is compatible with it although the published one is not.
TEST(Audit, JudgesThePracticesOwnModelOnLaterCasesOnly) {
  const auto rows = InventPastCases({.seed = 3, .cases = 4'000, .drift_from = 0, .odds_factor = 2, .last = kLast});
  const Audit audit = RunAudit(rows, {});
  ASSERT_TRUE(audit.failures && audit.own_model);
  EXPECT_GT(audit.failures->odds_interval.low, 1.5);  // truth 2, by the generator
  EXPECT_NEAR(audit.own_model->later.ratio, 1, 0.15);
  EXPECT_LT(audit.own_model->later.ratio_interval.low, 1);
  EXPECT_GT(audit.own_model->later.ratio_interval.high, 1);
}

TEST(Audit, DrawsTheLearningCurveInStretchesThatCoverEveryCaseOnce) {
  const Audit audit = RunAudit(InventPastCases({.seed = 5, .cases = 215, .drift_from = 215, .last = kLast}), {});
  ASSERT_FALSE(audit.stretches.empty());
  std::size_t next = 1, failures = 0;
  for (const CaseStretch& each : audit.stretches) {
    EXPECT_EQ(each.first, next);
    EXPECT_GE(each.last - each.first + 1, 20U);
    next = each.last + 1, failures += static_cast<std::size_t>(each.found.observed);
  }
  EXPECT_EQ(next, audit.series->cases.size() + 1);
  EXPECT_EQ(failures, static_cast<std::size_t>(audit.failures->observed));
  ASSERT_TRUE(audit.learning);
  EXPECT_EQ(audit.learning_curve.size(), 41U);
  EXPECT_NEAR(std::log(audit.learning_curve.back().odds_factor), audit.learning->intercept, 0.01 * std::abs(audit.learning->slope) + 1e-4);  // exp(-215/20)
}

TEST(Audit, CutsTheSliceThatWasAskedFor) {
  const auto rows = SixtyRows();
  EXPECT_EQ(RunAudit(rows, {.by = "AB"}).cases, 30U);
  EXPECT_EQ(RunAudit(rows, {.by = "nobody"}).cases, 0U);
  EXPECT_EQ(RunAudit(rows, {.since = Instant{kLast.ms + 10LL * 86'400'000}}).cases, 50U);
  EXPECT_EQ(RunAudit(rows, {.until = Instant{kLast.ms + 10LL * 86'400'000}}).cases, 10U);
  EXPECT_EQ(RunAudit(rows, {.j_cto_from = 3}).cases, 23U);
}

TEST(Audit, WorksWithNoOneAndSevenCases) {
  const auto rows = SixtyRows();
  for (const std::size_t n : {std::size_t{0}, std::size_t{1}, std::size_t{7}}) {
    const Audit audit = RunAudit(std::span(rows).first(n), {});
    EXPECT_EQ(audit.cases, n);
    EXPECT_FALSE(audit.says.empty());
    EXPECT_FALSE(AuditJson(audit, {}).empty());
  }
}

TEST(Audit, NeverOrdersPartsByTheirResults) {
  const Audit audit = RunAudit(InventPastCases({.last = kLast}), {});
  EXPECT_TRUE(std::ranges::is_sorted(audit.by_vessel, {}, &AuditPart::name));
  EXPECT_TRUE(std::ranges::is_sorted(audit.by_year, {}, &AuditPart::name));
}

// The designed behaviour on practices whose truth is known: out of control it is found within about the designed delay,
// in control it is quiet at the designed rate. Bounds are 3 standard errors wide.
TEST(Audit, FindsABuiltInDriftAndIsQuietWithoutOne) {
  int found = 0, quiet = 0;
  constexpr int kPractices = 25;
  for (std::uint64_t seed = 1; seed <= kPractices; ++seed) {
    const auto drifting = InventPastCases({.seed = seed, .cases = 220, .drift_from = 120, .odds_factor = 3, .last = kLast});
    const Audit a = RunAudit(drifting, {});
    found += std::ranges::any_of(a.series->worse_signals, [](std::size_t at) { return at >= 110; }) ? 1 : 0;
    const auto steady = InventPastCases({.seed = seed, .cases = 100, .drift_from = 100, .last = kLast});
    quiet += RunAudit(steady, {}).series->worse_signals.empty() ? 1 : 0;
  }
  EXPECT_GE(found, 21);  // a trebling is seen within 100 cases almost surely
  EXPECT_GE(quiet, 15);  // about 15 % cry wolf within 100 cases at a run length of 500
}

TEST(Invented, DrawsTheSameRowsEveryTime) {
  const auto rows = InventPastCases({.last = kLast});
  ASSERT_EQ(rows.size(), 180U);
  EXPECT_EQ(CaseRowsJson(rows), CaseRowsJson(InventPastCases({.last = kLast})));
  EXPECT_EQ(rows.back().began, kLast);
  EXPECT_TRUE(std::ranges::is_sorted(rows, {}, &CaseRow::began));
}

}  // namespace
}  // namespace fairlead
