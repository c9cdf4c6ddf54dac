// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/audit.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace fairlead {
namespace {

// One minus the lesion success of each class in the registry: 97.0, 92.1, 86.5 and 73.6 %.
constexpr Reference kReference{{0.030, 0.079, 0.135, 0.264}, "j-cto-registry"_source};
constexpr std::array<std::string_view, 4> kClassNames = {"J-CTO 0", "J-CTO 1", "J-CTO 2", "J-CTO 3 or more"};
constexpr double kWantedRunLength = 500;  // cases between false alarms; chosen
constexpr int kWindow = 50;               // cases of a busy year
constexpr std::size_t kLeastForSlope = 20;  // events and non-events; below it a slope is noise: practice, no source
constexpr std::size_t kMostExact = 4'000;  // its cost grows with the square: 2.6 s there

std::size_t ClassOf(int j_cto) { return static_cast<std::size_t>(std::clamp(j_cto, 0, 3)); }

bool Within(const CaseRow& row, const Slice& slice) {
  if (slice.since && row.began < *slice.since) return false;
  if (slice.until && !(row.began < *slice.until)) return false;
  if (!slice.by.empty() && row.by != slice.by) return false;
  if (!slice.vessel.empty() && row.vessel != slice.vessel) return false;
  if (!slice.strategy.empty() && (row.tries.empty() || row.tries.front().strategy != slice.strategy)) return false;
  if ((slice.j_cto_from || slice.j_cto_to) && !row.j_cto) return false;
  if (slice.j_cto_from && *row.j_cto < *slice.j_cto_from) return false;
  return !slice.j_cto_to || *row.j_cto <= *slice.j_cto_to;
}

using Rows = std::vector<const CaseRow*>;

// By start, ties by id.
Rows Chosen(std::span<const CaseRow> rows, const Slice& slice) {
  Rows chosen;
  for (const CaseRow& row : rows) {
    if (Within(row, slice)) chosen.push_back(&row);
  }
  std::sort(chosen.begin(), chosen.end(), [](const CaseRow* a, const CaseRow* b) {
    return a->began != b->began ? a->began < b->began : a->id < b->id;
  });
  return chosen;
}

std::optional<AuditShare> ShareOf(const Rows& rows, std::optional<bool> CaseRow::*member, Result<Interval> (*method)(Count)) {
  Count count;
  for (const CaseRow* row : rows) {
    if (!(row->*member)) continue;
    ++count.cases;
    count.events += *(row->*member) ? 1 : 0;
  }
  const auto interval = method(count);
  if (!interval.ok()) return std::nullopt;
  return AuditShare{count, *interval};
}

Quartiles QuartilesOf(const Rows& rows, std::optional<double> CaseRow::*member) {
  std::vector<double> values;
  for (const CaseRow* row : rows) {
    if (row->*member) values.push_back(*(row->*member));
  }
  return fairlead::QuartilesOf(std::move(values));
}

AuditPart PartOf(std::string name, const Rows& rows) {
  return {std::move(name), ShareOf(rows, &CaseRow::success, WilsonInterval), ShareOf(rows, &CaseRow::complication, ExactInterval)};
}

// Parts in the order of their names, never of their results.
std::vector<AuditPart> PartsBy(const Rows& rows, const auto& name_of) {
  std::map<std::string, Rows> groups;
  for (const CaseRow* row : rows) {
    if (std::string name = name_of(*row); !name.empty()) groups[std::move(name)].push_back(row);
  }
  std::vector<AuditPart> parts;
  for (const auto& [name, group] : groups) parts.push_back(PartOf(name, group));
  return parts;
}

std::string YearOf(const CaseRow& row) { return ToIso(row.began).substr(0, 4); }

struct JudgedRows {
  std::vector<Judged> cases;
  std::vector<std::string> ids;
  std::vector<int> j_cto;
  std::vector<std::string> years;
};

JudgedRows Judge(const Rows& rows) {
  JudgedRows judged;
  for (const CaseRow* row : rows) {
    if (!row->success || !row->j_cto) continue;
    judged.cases.push_back({.expected = kReference.failure[ClassOf(*row->j_cto)], .happened = !*row->success});
    judged.ids.push_back(row->id);
    judged.j_cto.push_back(*row->j_cto);
    judged.years.push_back(YearOf(*row));
  }
  return judged;
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

Series SeriesOf(const JudgedRows& judged) {
  Series series;
  series.cases = judged.ids;
  series.charts = DrawCharts(judged.cases);
  const auto mix = MixOf(judged.cases);
  series.worse = ThresholdFor(kWantedRunLength, mix, 2);
  series.better = ThresholdFor(kWantedRunLength, mix, 0.5);
  series.worse_signals = Signals(judged.cases, 2, series.worse.h, series.charts.worse);
  series.better_signals = Signals(judged.cases, 0.5, series.better.h, series.charts.better);
  series.false_alarm_in_50 = ChanceOfSignal(series.worse.h, mix, 2, 1, kWindow, 400);
  series.seen_in_50 = ChanceOfSignal(series.worse.h, mix, 2, 2, kWindow, 400);
  return series;
}

std::vector<CalibrationGroup> ByClass(const JudgedRows& judged) {
  std::vector<CalibrationGroup> groups(kClassNames.size());
  for (std::size_t i = 0; i < judged.cases.size(); ++i) {
    CalibrationGroup& group = groups[ClassOf(judged.j_cto[i])];
    group.cases += 1, group.events += judged.cases[i].happened ? 1 : 0, group.expected += judged.cases[i].expected;
  }
  return groups;
}

std::vector<FunnelUnit> FunnelByYear(const JudgedRows& judged) {
  std::map<std::string, std::vector<double>> chances;
  std::map<std::string, Count> counts;
  for (std::size_t i = 0; i < judged.cases.size(); ++i) {
    chances[judged.years[i]].push_back(judged.cases[i].expected);
    Count& count = counts[judged.years[i]];
    count.cases += 1, count.events += judged.cases[i].happened ? 1 : 0;
  }
  std::vector<FunnelUnit> units;
  for (const auto& [year, own] : chances) {
    FunnelUnit unit;
    unit.name = year, unit.failures = counts[year];
    for (const double p : own) unit.expected += p;
    unit.ratio = static_cast<double>(unit.failures.events) / unit.expected;
    for (std::size_t i = 0; i < std::size(kFunnelTails); ++i) unit.limits[i] = RatioLimit(own, kFunnelTails[i]);
    units.push_back(std::move(unit));
  }
  return units;
}

template <typename T>
std::optional<T> IfThere(Result<T> result) {
  if (!result.ok()) return std::nullopt;
  return std::move(*result);
}

void CompareWithReference(const JudgedRows& judged, Audit& audit) {
  if (judged.cases.empty()) return;
  if (judged.cases.size() <= kMostExact) audit.failures = IfThere(CompareWithExpected(judged.cases));
  audit.series = SeriesOf(judged);
  audit.by_class = ByClass(judged);
  audit.funnel = judged.cases.size() <= kMostExact ? FunnelByYear(judged) : std::vector<FunnelUnit>{};
  audit.in_the_large = IfThere(CalibrationInTheLarge(judged.cases));
  audit.brier = IfThere(BrierScore(judged.cases));
  audit.discrimination = IfThere(AreaUnderCurve(judged.cases));
  audit.recalibrated = IfThere(Recalibrate(judged.cases));
  if (audit.recalibrated) {
    for (const double p : kReference.failure) audit.moved.push_back(Move(*audit.recalibrated, p));
  }
  const auto events = static_cast<std::size_t>(std::count_if(judged.cases.begin(), judged.cases.end(), [](const Judged& each) { return each.happened; }));
  if (std::min(events, judged.cases.size() - events) >= kLeastForSlope) {
    audit.line = IfThere(CalibrationLine(judged.cases));
    audit.learning = IfThere(LearningLine(judged.cases));
  }
}

std::string Percent(double share) { return fmt::format("{:.0f} %", 100 * share); }

void Say(Audit& audit) {
  if (audit.cases == 0) return audit.says.push_back("No case lies in this slice.");
  if (audit.failures) {
    const AgainstExpected& found = *audit.failures;
    audit.says.push_back(fmt::format(
        "{} of the cases failed where the published model, on other people's cases, would have {:.1f}: {:.2f} times as many, and "
        "anything from {:.2f} to {:.2f} times fits these cases.",
        found.observed, found.expected, found.ratio, found.ratio_interval.low, found.ratio_interval.high));
    const bool wide = found.ratio_interval.low < 1 && found.ratio_interval.high > 1;
    audit.says.push_back(wide ? "That is compatible with no difference at all." : "Chance alone seldom does that; a different case mix can.");
  }
  if (audit.series) {
    audit.says.push_back(fmt::format(
        "The chart would see a doubling of the odds of failure within {} cases {} of the time, and would cry wolf in {} of such stretches.",
        kWindow, Percent(audit.series->seen_in_50), Percent(audit.series->false_alarm_in_50)));
  }
  if (audit.series && audit.series->cases.size() > kMostExact) {
    audit.says.push_back(fmt::format("More than {} cases: the exact comparison with what was expected and the years' limits are left out.", kMostExact));
  }
  if (audit.no_outcome > 0) audit.says.push_back(fmt::format("{} have no outcome and are left out of every chart.", audit.no_outcome));
  if (audit.no_difficulty > 0) audit.says.push_back(fmt::format("{} have no J-CTO total and are left out of every comparison.", audit.no_difficulty));
  if (!audit.line) audit.says.push_back("Fewer than 20 failures, or successes: no slope of calibration and no learning curve is drawn from them.");
}

}  // namespace

Quartiles QuartilesOf(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  Quartiles found;
  found.cases = values.size();
  if (values.empty()) return found;
  const auto at = [&](double q) {  // type 7
    const double place = q * static_cast<double>(values.size() - 1);
    const auto below = static_cast<std::size_t>(place);
    const std::size_t above = std::min(below + 1, values.size() - 1);
    return values[below] + (place - static_cast<double>(below)) * (values[above] - values[below]);
  };
  found.low = at(0.25), found.middle = at(0.5), found.high = at(0.75);
  return found;
}

const Reference& FailureReference() { return kReference; }

Audit RunAudit(std::span<const CaseRow> all, const Slice& slice) {
  const Rows rows = Chosen(all, slice);
  Audit audit;
  audit.cases = rows.size();
  for (const CaseRow* row : rows) {
    audit.invented += row->invented ? 1 : 0;
    audit.no_outcome += row->success ? 0 : 1;
    audit.no_difficulty += row->success && !row->j_cto ? 1 : 0;
    audit.no_complication_entry += row->complication ? 0 : 1;
  }
  audit.success = ShareOf(rows, &CaseRow::success, WilsonInterval);
  audit.complication = ShareOf(rows, &CaseRow::complication, ExactInterval);
  audit.minutes = QuartilesOf(rows, &CaseRow::minutes);
  audit.contrast_ml = QuartilesOf(rows, &CaseRow::contrast_ml);
  audit.air_kerma_gy = QuartilesOf(rows, &CaseRow::air_kerma_gy);
  audit.by_strategy = PartsBy(rows, [](const CaseRow& row) { return row.tries.empty() ? std::string() : row.tries.front().strategy; });
  audit.by_vessel = PartsBy(rows, [](const CaseRow& row) { return row.vessel; });
  audit.by_difficulty = PartsBy(rows, [](const CaseRow& row) { return row.j_cto ? std::string(kClassNames[ClassOf(*row.j_cto)]) : std::string(); });
  audit.by_year = PartsBy(rows, YearOf);
  CompareWithReference(Judge(rows), audit);
  Say(audit);
  return audit;
}

}  // namespace fairlead
