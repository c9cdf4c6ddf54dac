// SPDX-License-Identifier: Apache-2.0
// The cases of a slice against the published model and against the practice's own.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "practice/audit/audit_parts.h"
#include "practice/audit/count_law.h"
#include "practice/audit/laws.h"

namespace fairlead {
namespace {

// One minus the lesion success of each class in the registry: 97.0, 92.1, 86.5 and 73.6 %.
constexpr Reference kReference{{0.030, 0.079, 0.135, 0.264}, "j-cto-registry"_source};
constexpr double kWantedRunLength = 500;  // cases between false alarms; chosen
constexpr std::int64_t kLeastForSlope = 20;  // events and non-events; below it a slope is noise: practice, no source

struct JudgedRows {
  std::vector<Judged> cases;
  std::vector<const PackedCase*> rows;
  std::vector<JudgedClass> classes;  // with a case, by expected chance
};

JudgedRows Judge(const AuditRows& rows) {
  JudgedRows judged;
  std::array<JudgedClass, 4> classes{};
  for (const PackedCase* row : rows) {
    if (row->success < 0 || row->j_cto < 0) continue;
    JudgedClass& one = classes[JctoClass(row->j_cto)];
    one.expected = kReference.failure[JctoClass(row->j_cto)], ++one.cases, one.events += row->success == 0 ? 1 : 0;
    judged.cases.push_back({.expected = one.expected, .happened = row->success == 0});
    judged.rows.push_back(row);
  }
  for (const JudgedClass& each : classes) {
    if (each.cases > 0) judged.classes.push_back(each);
  }
  return judged;
}

std::vector<ChanceClass> ChancesOf(const std::vector<JudgedClass>& classes) {
  std::vector<ChanceClass> chances;
  for (const JudgedClass& each : classes) chances.push_back({.chance = each.expected, .cases = each.cases});
  return chances;
}

std::int64_t EventsOf(const std::vector<JudgedClass>& classes) {
  std::int64_t events = 0;
  for (const JudgedClass& each : classes) events += each.events;
  return events;
}

// Every crossing; the sum, as it is drawn, starts anew after each. One pass, however many signals there are.
std::vector<std::size_t> Signals(std::span<const Judged> cases, double factor, double h, std::vector<double>& sums) {
  std::vector<std::size_t> signals;
  double sum = 0;
  for (std::size_t i = 0; i < cases.size(); ++i) {
    sums[i] = sum = std::max(0.0, sum + CusumWeight(cases[i], factor));
    if (sum < h) continue;
    signals.push_back(i);
    sum = 0;
  }
  return signals;
}

Series SeriesOf(const PackedCases& all, const JudgedRows& judged) {
  Series series;
  series.cases.reserve(judged.rows.size());
  for (const PackedCase* row : judged.rows) series.cases.emplace_back(all.id(*row));
  series.charts = DrawCharts(judged.cases);
  const auto mix = MixOf(judged.classes);
  series.worse = ThresholdFor(kWantedRunLength, mix, 2);
  series.better = ThresholdFor(kWantedRunLength, mix, 0.5);
  series.worse_signals = Signals(judged.cases, 2, series.worse.h, series.charts.worse);
  series.better_signals = Signals(judged.cases, 0.5, series.better.h, series.charts.better);
  series.false_alarm_in_50 = ChanceOfSignal(series.worse.h, mix, 2, 1, kSignalWindow, 400);
  series.seen_in_50 = ChanceOfSignal(series.worse.h, mix, 2, 2, kSignalWindow, 400);
  return series;
}

std::vector<CalibrationGroup> ByClass(const JudgedRows& judged) {
  std::vector<CalibrationGroup> groups(4);
  for (const JudgedClass& each : judged.classes) {
    const auto at = std::find(std::begin(kReference.failure), std::end(kReference.failure), each.expected) - std::begin(kReference.failure);
    groups[static_cast<std::size_t>(at)] = {.cases = each.cases, .events = each.events, .expected = static_cast<double>(each.cases) * each.expected};
  }
  return groups;
}

std::vector<FunnelUnit> FunnelByYear(const JudgedRows& judged) {
  std::map<int, std::vector<Judged>> years;
  for (std::size_t i = 0; i < judged.cases.size(); ++i) years[YearBegun(judged.rows[i]->began)].push_back(judged.cases[i]);
  std::vector<FunnelUnit> units;
  for (const auto& [year, own] : years) {
    const auto classes = ClassesJudged(own);
    FunnelUnit unit;
    unit.name = fmt::format("{:04}", year), unit.failures = {EventsOf(classes), static_cast<std::int64_t>(own.size())};
    for (const JudgedClass& each : classes) {
      const double expected = static_cast<double>(each.cases) * each.expected;
      unit.expected += expected, unit.variance += expected * (1 - each.expected);
    }
    unit.ratio = static_cast<double>(unit.failures.events) / unit.expected;
    const auto limits = RatioLimits(ChancesOf(classes), kFunnelTails);
    std::copy(limits.begin(), limits.end(), std::begin(unit.limits));
    units.push_back(std::move(unit));
  }
  return units;
}

// Stretches of so many months that expect a failure at least (chosen: of less nothing can be said), against the practice's own
// level: all published odds times `factor`. Against the published level a practice that always fails a little more would
// seem to change from year to year.
std::vector<RatioUnit> RatiosBy(const JudgedRows& judged, int months, double factor) {
  std::map<int, RatioUnit> units;
  for (std::size_t i = 0; i < judged.cases.size(); ++i) {
    const Judged& each = judged.cases[i];
    RatioUnit& unit = units[MonthBegun(judged.rows[i]->began) / months];
    const double p = factor * each.expected / (1 - each.expected + factor * each.expected);
    unit.observed += each.happened ? 1 : 0, unit.expected += p, unit.variance += p * (1 - p);
  }
  std::vector<RatioUnit> listed;
  for (const auto& each : units) {
    if (each.second.expected >= 1) listed.push_back(each.second);
  }
  return listed;
}

std::optional<FunnelSpread> SpreadOverTime(const JudgedRows& judged, const std::optional<AgainstExpected>& whole) {
  if (!whole || !(whole->odds_factor > 0) || !std::isfinite(whole->odds_factor)) return std::nullopt;  // every case ended alike
  for (const auto& [months, name] : {std::pair(12, "years"), std::pair(3, "quarters")}) {
    const auto units = RatiosBy(judged, months, whole->odds_factor);
    if (const auto spread = SpreadOfRatios(units); spread.ok()) return FunnelSpread{name, units.size(), *spread};
  }
  return std::nullopt;
}

// Only years widen years: what differs from quarter to quarter evens out within one.
void Widen(std::vector<FunnelUnit>& funnel, const std::optional<FunnelSpread>& found) {
  if (!found || found->units != "years" || !found->spread.beyond_chance) return;
  for (FunnelUnit& unit : funnel) {
    const double half = kZ95 * std::sqrt(unit.variance / (unit.expected * unit.expected) + found->spread.between_variance_winsorised);
    unit.widened = Interval{std::max(0.0, 1 - half), 1 + half};
  }
}

// At most ten, of at least 20 cases (chosen): with fewer one failure more or less moves a stretch by a third.
std::vector<CaseStretch> StretchesOf(const JudgedRows& judged) {
  constexpr std::size_t kLeastCases = 20, kMostStretches = 10;
  const std::size_t n = judged.cases.size(), count = std::min(kMostStretches, n / kLeastCases);
  std::vector<CaseStretch> stretches;
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t from = i * n / count, to = (i + 1) * n / count;
    auto found = CompareWithExpected(std::span(judged.cases).subspan(from, to - from));
    if (found.ok()) stretches.push_back({from + 1, to, *found});
  }
  return stretches;
}

std::vector<LearningPoint> CurveOf(const LogitLine& line, std::size_t cases) {
  std::vector<LearningPoint> points;
  constexpr int kPoints = 40;
  const double last = std::min(static_cast<double>(cases), 12 * kLearningTau);  // beyond it the line is level
  for (int i = 0; i <= kPoints; ++i) {
    const double number = 1 + (last - 1) * i / kPoints, g = std::exp(-number / kLearningTau);
    const double at = line.intercept + line.slope * g;
    const double variance = line.intercept_sd * line.intercept_sd + g * g * line.slope_sd * line.slope_sd + 2 * g * line.correlation * line.intercept_sd * line.slope_sd;
    const double half = kZ95 * std::sqrt(std::max(0.0, variance));
    points.push_back({number, std::exp(at), {std::exp(at - half), std::exp(at + half)}});
  }
  return points;
}

std::optional<OwnModel> OwnModelOf(const JudgedRows& judged) {
  constexpr std::size_t kLeastCases = 40;  // chosen
  const std::size_t half = judged.cases.size() / 2;
  if (judged.cases.size() < kLeastCases) return std::nullopt;
  const auto line = Recalibrate(std::span(judged.cases).first(half));
  if (!line.ok()) return std::nullopt;
  const auto later = ClassesJudged(std::span(judged.cases).subspan(half));
  auto chances = ChancesOf(later);
  for (ChanceClass& each : chances) each.chance = Move(*line, each.chance).moved;
  const auto found = CompareWithExpected(chances, EventsOf(later));
  if (!found.ok()) return std::nullopt;
  return OwnModel{half, *line, *found};
}

template <typename T>
std::optional<T> IfThere(Result<T> result) {
  if (!result.ok()) return std::nullopt;
  return std::move(*result);
}

}  // namespace

const Reference& FailureReference() { return kReference; }

void CompareWithReference(const PackedCases& all, const AuditRows& rows, Audit& audit) {
  const JudgedRows judged = Judge(rows);
  if (judged.cases.empty()) return;
  const std::int64_t events = EventsOf(judged.classes), others = static_cast<std::int64_t>(judged.cases.size()) - events;
  audit.failures = IfThere(CompareWithExpected(ChancesOf(judged.classes), events));
  audit.series = SeriesOf(all, judged);
  audit.by_class = ByClass(judged);
  audit.belief = BelieveOdds(judged.classes);
  audit.smooth = SmoothCalibration(judged.classes);
  audit.funnel = FunnelByYear(judged);
  audit.spread = SpreadOverTime(judged, audit.failures);
  Widen(audit.funnel, audit.spread);
  audit.in_the_large = IfThere(CalibrationInTheLarge(judged.classes));
  audit.brier = IfThere(BrierScore(judged.classes));
  audit.discrimination = IfThere(AreaUnderCurve(judged.classes));
  audit.recalibrated = IfThere(Recalibrate(judged.classes));
  if (audit.recalibrated) {
    for (const double p : kReference.failure) audit.moved.push_back(Move(*audit.recalibrated, p));
  }
  audit.stretches = StretchesOf(judged);
  audit.own_model = OwnModelOf(judged);
  if (std::min(events, others) < kLeastForSlope) return;
  audit.line = IfThere(CalibrationLine(judged.classes));
  audit.learning = IfThere(LearningLine(judged.cases));
  if (audit.learning) audit.learning_curve = CurveOf(*audit.learning, judged.cases.size());
}

}  // namespace fairlead
