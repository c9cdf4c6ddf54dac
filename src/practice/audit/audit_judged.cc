// SPDX-License-Identifier: Apache-2.0
// The cases of a slice against the published model and against the practice's own.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <future>
#include <map>

#include "practice/audit/audit_parts.h"
#include "practice/audit/count_law.h"
#include "practice/audit/laws.h"
#include "practice/audit/letters.h"

namespace fairlead {
namespace {

// One minus the lesion success of each class in the registry: 97.0, 92.1, 86.5 and 73.6 %.
constexpr Reference kReference{{0.030, 0.079, 0.135, 0.264}, "j-cto-registry"_source};
constexpr std::int64_t kLeastForSlope = 20;  // events and non-events; below it a slope is noise: practice, no source

// Those with a case, by expected chance.
std::vector<JudgedClass> Listed(const ClassCounts& counts) {
  std::vector<JudgedClass> classes;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (counts[i].cases > 0) classes.push_back({.expected = kReference.failure[i], .cases = counts[i].cases, .events = counts[i].events});
  }
  return classes;
}

std::vector<ChanceClass> ChancesOf(const std::vector<JudgedClass>& classes) {
  std::vector<ChanceClass> chances;
  chances.reserve(classes.size());
  for (const JudgedClass& each : classes) chances.push_back({.chance = each.expected, .cases = each.cases});
  return chances;
}

std::int64_t EventsOf(const std::vector<JudgedClass>& classes) {
  std::int64_t events = 0;
  for (const JudgedClass& each : classes) events += each.events;
  return events;
}

std::vector<CalibrationGroup> ByClass(const ClassCounts& counts) {
  std::vector<CalibrationGroup> groups;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    groups.push_back({.cases = counts[i].cases, .events = counts[i].events, .expected = static_cast<double>(counts[i].cases) * kReference.failure[i]});
  }
  return groups;
}

// Judged cases by stretches of so many months.
std::map<int, ClassCounts> CountsBy(const AuditSums& sums, int months) {
  std::map<int, ClassCounts> units;
  for (const auto& [month, found] : sums.months) {
    ClassCounts& unit = units[months == 12 ? YearOfMonth(month) : month / months];
    for (std::size_t i = 0; i < unit.size(); ++i) unit[i].cases += found.judged[i].cases, unit[i].events += found.judged[i].events;
  }
  std::erase_if(units, [](const auto& unit) { return Listed(unit.second).empty(); });
  return units;
}

std::vector<FunnelUnit> FunnelByYear(const AuditSums& sums) {
  std::vector<FunnelUnit> units;
  for (const auto& [year, counts] : CountsBy(sums, 12)) {
    const auto classes = Listed(counts);
    FunnelUnit unit;
    unit.name = fmt::format("{:04}", year), unit.failures.events = EventsOf(classes);
    for (const JudgedClass& each : classes) {
      const double expected = static_cast<double>(each.cases) * each.expected;
      unit.failures.cases += each.cases, unit.expected += expected, unit.variance += expected * (1 - each.expected);
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
std::vector<RatioUnit> RatiosBy(const AuditSums& sums, int months, double factor) {
  std::vector<RatioUnit> listed;
  for (const auto& [number, counts] : CountsBy(sums, months)) {
    RatioUnit unit;
    for (const JudgedClass& each : Listed(counts)) {
      const double p = factor * each.expected / (1 - each.expected + factor * each.expected), cases = static_cast<double>(each.cases);
      unit.observed += static_cast<double>(each.events), unit.expected += cases * p, unit.variance += cases * p * (1 - p);
    }
    if (unit.expected >= 1) listed.push_back(unit);
  }
  return listed;
}

std::optional<FunnelSpread> SpreadOverTime(const AuditSums& sums, const std::optional<AgainstExpected>& whole) {
  if (!whole || !(whole->odds_factor > 0) || !std::isfinite(whole->odds_factor)) return std::nullopt;  // every case ended alike
  for (const auto& [months, name] : {std::pair(12, "years"), std::pair(3, "quarters")}) {
    const auto units = RatiosBy(sums, months, whole->odds_factor);
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
std::vector<CaseStretch> StretchesOf(const LetterCounts& letters) {
  constexpr std::size_t kLeastCases = 20, kMostStretches = 10;
  const std::size_t n = letters.size(), count = std::min(kMostStretches, n / kLeastCases);
  std::vector<CaseStretch> stretches;
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t from = i * n / count, to = (i + 1) * n / count;
    const auto classes = Listed(letters.Between(from, to));
    auto found = CompareWithExpected(ChancesOf(classes), EventsOf(classes));
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

std::optional<OwnModel> OwnModelOf(const LetterCounts& letters) {
  constexpr std::size_t kLeastCases = 40;  // chosen
  const std::size_t half = letters.size() / 2;
  if (letters.size() < kLeastCases) return std::nullopt;
  const auto line = Recalibrate(Listed(letters.Between(0, half)));
  if (!line.ok()) return std::nullopt;
  const auto later = Listed(letters.Between(half, letters.size()));
  auto chances = ChancesOf(later);
  for (ChanceClass& each : chances) each.chance = Move(*line, each.chance).moved;
  const auto found = CompareWithExpected(chances, EventsOf(later));
  if (!found.ok()) return std::nullopt;
  return OwnModel{half, *line, *found};
}

// Of the first cases each one, of those after them the classes alone: their number says nothing any more.
Result<LogitLine> LearningOf(std::string_view letters, const LetterCounts& counted) {
  const std::size_t apart = std::min(letters.size(), LearningCases());
  std::vector<Judged> first;
  for (const char letter : letters.substr(0, apart)) first.push_back({.expected = kReference.failure[LetterClass(letter)], .happened = LetterFailed(letter)});
  return LearningLine(first, Listed(counted.Between(apart, letters.size())));
}

template <typename T>
std::optional<T> IfThere(Result<T> result) {
  if (!result.ok()) return std::nullopt;
  return std::move(*result);
}

}  // namespace

const Reference& FailureReference() { return kReference; }

void CompareWithReference(const AuditSums& sums, std::string_view letters, const std::function<std::string(std::size_t)>& id, Audit& audit) {
  if (letters.empty()) return;
  const LetterCounts counted(letters);
  const ClassCounts counts = counted.Between(0, letters.size());
  const auto classes = Listed(counts);
  const std::int64_t events = EventsOf(classes), others = static_cast<std::int64_t>(letters.size()) - events;
  // The charts cost as much as all the rest, and need none of it.
  std::future<Series> series = std::async(std::launch::async, [&] { return SeriesOf(classes, letters, id); });
  audit.failures = IfThere(CompareWithExpected(ChancesOf(classes), events));
  audit.by_class = ByClass(counts);
  audit.belief = BelieveOdds(classes);
  audit.smooth = SmoothCalibration(classes);
  audit.funnel = FunnelByYear(sums);
  audit.spread = SpreadOverTime(sums, audit.failures);
  Widen(audit.funnel, audit.spread);
  audit.in_the_large = IfThere(CalibrationInTheLarge(classes));
  audit.brier = IfThere(BrierScore(classes));
  audit.discrimination = IfThere(AreaUnderCurve(classes));
  audit.recalibrated = IfThere(Recalibrate(classes));
  if (audit.recalibrated) {
    for (const double p : kReference.failure) audit.moved.push_back(Move(*audit.recalibrated, p));
  }
  audit.stretches = StretchesOf(counted);
  audit.own_model = OwnModelOf(counted);
  audit.series = series.get();
  if (std::min(events, others) < kLeastForSlope) return;
  audit.line = IfThere(CalibrationLine(classes));
  audit.learning = IfThere(LearningOf(letters, counted));
  if (audit.learning) audit.learning_curve = CurveOf(*audit.learning, letters.size());
}

}  // namespace fairlead
