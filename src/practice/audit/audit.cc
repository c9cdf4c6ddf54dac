// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/audit.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "practice/audit/audit_parts.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 4> kClassNames = {"J-CTO 0", "J-CTO 1", "J-CTO 2", "J-CTO 3 or more"};

// The slice with its words as the packed rows number them. A word that no row has leaves no case.
struct PackedSlice {
  Slice asked;
  std::optional<WordNumber> by{}, vessel{}, strategy{};
  bool empty = false;
};
PackedSlice PackedOf(const PackedCases& rows, const Slice& slice) {
  PackedSlice packed;
  packed.asked = slice;
  const auto find = [&](const std::string& word, std::optional<WordNumber>& number) {
    if (word.empty()) return;
    number = rows.Find(word);
    packed.empty = packed.empty || !number;
  };
  find(slice.by, packed.by), find(slice.vessel, packed.vessel), find(slice.strategy, packed.strategy);
  return packed;
}

bool Holds(const PackedCases& rows, const PackedCase& row, const PackedSlice& slice) {
  const Slice& asked = slice.asked;
  if (asked.first_attempts && row.first_attempt != 1) return false;
  if (slice.empty || (asked.since && row.began < *asked.since) || (asked.until && !(row.began < *asked.until))) return false;
  if ((slice.by && row.by != *slice.by) || (slice.vessel && row.vessel != *slice.vessel)) return false;
  if (slice.strategy && (row.tries == 0 || rows.tries(row)->way != *slice.strategy)) return false;
  if ((asked.j_cto_from || asked.j_cto_to) && row.j_cto < 0) return false;
  return !(asked.j_cto_from && row.j_cto < *asked.j_cto_from) && !(asked.j_cto_to && row.j_cto > *asked.j_cto_to);
}

// In the order of the names, never of their results.
std::vector<AuditPart> PartsOf(const std::map<std::string, PartSums>& sums) {
  std::vector<AuditPart> parts;
  for (const auto& [name, part] : sums) {
    if (!name.empty() && part.rows > 0) parts.push_back({name, ShareBy(part.success, WilsonInterval), ShareBy(part.complication, ExactInterval)});
  }
  return parts;
}

void AddParts(const AuditSums& sums, Audit& audit) {
  audit.success = ShareBy(sums.whole.success, WilsonInterval), audit.complication = ShareBy(sums.whole.complication, ExactInterval);
  audit.procedural = ShareBy(sums.procedural, WilsonInterval);
  std::map<std::string, PartSums> by_way, by_vessel, by_class, by_year;
  // A way or vessel that somebody took, even where nobody wrote its outcome down.
  for (std::size_t i = 0; i < sums.words.size(); ++i) by_way[sums.words[i]] = sums.ways[i], by_vessel[sums.words[i]] = sums.vessels[i];
  for (std::size_t i = 0; i < sums.classes.size(); ++i) by_class[std::string(kClassNames[i])] = sums.classes[i];
  for (const auto& [month, found] : sums.months) {
    PartSums& year = by_year[fmt::format("{:04}", YearOfMonth(month))];
    year.rows += found.part.rows;
    year.success.cases += found.part.success.cases, year.success.events += found.part.success.events;
    year.complication.cases += found.part.complication.cases, year.complication.events += found.part.complication.events;
  }
  audit.by_strategy = PartsOf(by_way), audit.by_vessel = PartsOf(by_vessel), audit.by_difficulty = PartsOf(by_class), audit.by_year = PartsOf(by_year);
}

std::vector<MissingPart> MissingOf(const AuditSums& sums) {
  static constexpr std::array<const char*, kRowMembers> kMembers = {"operator", "vessel", "J-CTO", "attempts", "technical success", "major complication, yes or no",
                                                                   "whether it was a first attempt", "minutes", "contrast", "air kerma"};
  std::vector<MissingPart> missing;
  for (std::size_t i = 0; i < kMembers.size(); ++i) {
    if (const auto share = ShareBy({sums.lacks[i], sums.cases}, WilsonInterval)) missing.push_back({kMembers[i], *share});
  }
  return missing;
}

std::string Percent(double share) {
  if (share < 0.005) return "less than 1 %";
  return share > 0.995 ? "more than 99 %" : fmt::format("{:.0f} %", 100 * share);
}

std::string GivenCases(const Audit& audit) {
  const auto cases = audit.series ? audit.series->judged : 0;
  return cases == 1 ? std::string("one case") : fmt::format("these {} cases", cases);
}

void Say(Audit& audit) {
  if (audit.cases == 0) return audit.says.push_back("No case lies in this slice.");
  if (audit.belief) {
    audit.says.push_back(fmt::format(
        "Given {}: {} that the odds of failure were above the published ones at equal J-CTO, {} that they were half as high again, {} that they were more than double. "
        "That starts from no difference, a doubling or halving at 1.4 standard deviations.",
        GivenCases(audit), Percent(audit.belief->above), Percent(audit.belief->half_more), Percent(audit.belief->doubled)));
  }
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
        kSignalWindow, Percent(audit.series->seen_in_50), Percent(audit.series->false_alarm_in_50)));
  }
  if (audit.spread && audit.spread->spread.beyond_chance) {
    audit.says.push_back(fmt::format("The {} {} differ from each other more than chance alone makes them (their mean squared difference is {:.1f} times what it should be): something not counted here changes over time.",
                                     audit.spread->count, audit.spread->units, audit.spread->spread.phi));
  }
  if (audit.no_outcome > 0) audit.says.push_back(fmt::format("{} have no outcome and are left out of every chart.", audit.no_outcome));
  if (audit.no_difficulty > 0) audit.says.push_back(fmt::format("{} have no J-CTO total and are left out of every comparison.", audit.no_difficulty));
  if (audit.own_model) {
    const OwnModel& own = *audit.own_model;
    audit.says.push_back(fmt::format(
        "Held against this practice's own first {} cases (the published model moved to them), the later ones failed {:.2f} times as often as expected ({:.2f} to {:.2f}).",
        own.learnt_from, own.later.ratio, own.later.ratio_interval.low, own.later.ratio_interval.high));
  }
  if (!audit.line) audit.says.push_back("Fewer than 20 failures, or successes: no slope of calibration and no learning curve is drawn from them.");
}

}  // namespace

std::optional<AuditShare> ShareBy(Count count, Result<Interval> (*method)(Count)) {
  const auto interval = method(count);
  if (!interval.ok()) return std::nullopt;
  return AuditShare{count, *interval};
}

bool InSlice(const CaseRow& row, const Slice& slice) {
  const PackedCases one = Pack(std::span(&row, 1));
  return Holds(one, one.cases().front(), PackedOf(one, slice));
}

Audit RunAudit(std::span<const CaseRow> rows, const Slice& slice) { return RunAudit(Pack(rows), slice); }

Audit RunAudit(const PackedCases& all, const Slice& slice) {
  std::vector<const PackedCase*> rows, judged;  // by start, ties by id
  std::string letters;
  const PackedSlice packed = PackedOf(all, slice);
  for (const PackedCase& row : all.cases()) {
    if (!Holds(all, row, packed)) continue;
    rows.push_back(&row);
    if (const auto letter = JudgedLetter(row)) judged.push_back(&row), letters.push_back(*letter);
  }
  AuditSums sums;
  sums.Add(all, rows);
  return AuditOf(sums, letters, [&](std::size_t i) { return std::string(all.id(*judged[i])); });
}

Audit AuditOf(const AuditSums& sums, std::string_view letters, const std::function<std::string(std::size_t)>& id) {
  const auto size = [](std::int64_t count) { return static_cast<std::size_t>(count); };
  Audit audit;
  audit.cases = size(sums.cases), audit.invented = size(sums.invented);
  audit.no_outcome = size(sums.no_outcome), audit.no_difficulty = size(sums.no_difficulty), audit.no_complication_entry = size(sums.no_complication_entry);
  AddParts(sums, audit);
  audit.missing = MissingOf(sums);
  audit.minutes = sums.minutes.Found(), audit.contrast_ml = sums.contrast_ml.Found(), audit.air_kerma_gy = sums.air_kerma_gy.Found();
  SayHabits(sums, audit);
  SayYardsticks(sums, audit);
  CompareWithReference(sums, letters, id, audit);
  Say(audit);
  return audit;
}

}  // namespace fairlead
