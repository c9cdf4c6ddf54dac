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

// Technical success without a major complication: settled by a failure or a complication alone.
void AddProcedural(const PackedCase& row, Count& count) {
  const bool bad = row.success == 0 || row.complication == 1, good = row.success == 1 && row.complication == 0;
  if (bad || good) ++count.cases, count.events += good ? 1 : 0;
}

struct PartCounts {
  Count success, complication;
  std::int64_t rows = 0;
  void Add(const PackedCase& row) {
    ++rows;
    if (row.success >= 0) ++success.cases, success.events += row.success;
    if (row.complication >= 0) ++complication.cases, complication.events += row.complication;
  }
};

// In the order of the names, never of their results.
std::vector<AuditPart> PartsOf(const std::map<std::string, PartCounts>& counts) {
  std::vector<AuditPart> parts;
  for (const auto& [name, part] : counts) {
    if (!name.empty()) parts.push_back({name, ShareBy(part.success, WilsonInterval), ShareBy(part.complication, ExactInterval)});
  }
  return parts;
}

void AddParts(const PackedCases& all, const AuditRows& rows, Audit& audit) {
  std::vector<PartCounts> ways(all.words()), vessels(all.words());
  std::array<PartCounts, 4> classes;
  std::map<int, PartCounts> years;
  PartCounts whole;
  Count procedural;
  PartCounts* year = nullptr;
  int of_year = 0;
  for (const PackedCase* row : rows) {
    whole.Add(*row), AddProcedural(*row, procedural);
    if (row->tries > 0) ways[all.tries(*row)->way].Add(*row);
    vessels[row->vessel].Add(*row);
    if (row->j_cto >= 0) classes[JctoClass(row->j_cto)].Add(*row);
    if (const int began = YearBegun(row->began); year == nullptr || began != of_year) year = &years[began], of_year = began;
    year->Add(*row);
  }
  audit.success = ShareBy(whole.success, WilsonInterval), audit.complication = ShareBy(whole.complication, ExactInterval);
  audit.procedural = ShareBy(procedural, WilsonInterval);
  std::map<std::string, PartCounts> by_way, by_vessel, by_class, by_year;
  // A way or vessel that somebody took, even where nobody wrote its outcome down.
  for (std::size_t i = 0; i < ways.size(); ++i) {
    if (ways[i].rows > 0) by_way[all.word(static_cast<WordNumber>(i))] = ways[i];
    if (vessels[i].rows > 0) by_vessel[all.word(static_cast<WordNumber>(i))] = vessels[i];
  }
  for (std::size_t i = 0; i < classes.size(); ++i) {
    if (classes[i].rows > 0) by_class[std::string(kClassNames[i])] = classes[i];
  }
  for (const auto& [name, counts] : years) by_year[fmt::format("{:04}", name)] = counts;
  audit.by_strategy = PartsOf(by_way), audit.by_vessel = PartsOf(by_vessel), audit.by_difficulty = PartsOf(by_class), audit.by_year = PartsOf(by_year);
}

Quartiles QuartilesBy(const AuditRows& rows, double PackedCase::*member) {
  Tally values;
  for (const PackedCase* row : rows) {
    if (!std::isnan(row->*member)) values.Add(row->*member);
  }
  return values.Found();
}

std::vector<MissingPart> MissingOf(const AuditRows& rows) {
  struct Member {
    const char* name;
    bool (*lacks)(const PackedCase& row);
  };
  static constexpr Member kMembers[] = {
      {"operator", [](const PackedCase& row) { return row.by == 0; }}, {"vessel", [](const PackedCase& row) { return row.vessel == 0; }},
      {"J-CTO", [](const PackedCase& row) { return row.j_cto < 0; }}, {"attempts", [](const PackedCase& row) { return row.tries == 0; }},
      {"technical success", [](const PackedCase& row) { return row.success < 0; }}, {"major complication, yes or no", [](const PackedCase& row) { return row.complication < 0; }},
      {"whether it was a first attempt", [](const PackedCase& row) { return row.first_attempt < 0; }}, {"minutes", [](const PackedCase& row) { return std::isnan(row.minutes); }}, {"contrast", [](const PackedCase& row) { return std::isnan(row.contrast_ml); }},
      {"air kerma", [](const PackedCase& row) { return std::isnan(row.air_kerma_gy); }}};
  std::vector<MissingPart> missing;
  for (const Member& member : kMembers) {
    const auto lacking = std::count_if(rows.begin(), rows.end(), [&](const PackedCase* row) { return member.lacks(*row); });
    if (const auto share = ShareBy({lacking, static_cast<std::int64_t>(rows.size())}, WilsonInterval)) missing.push_back({member.name, *share});
  }
  return missing;
}

std::string Percent(double share) {
  if (share < 0.005) return "less than 1 %";
  return share > 0.995 ? "more than 99 %" : fmt::format("{:.0f} %", 100 * share);
}

void Say(Audit& audit) {
  if (audit.cases == 0) return audit.says.push_back("No case lies in this slice.");
  if (audit.belief) {
    audit.says.push_back(fmt::format(
        "Given these {} cases: {} that the odds of failure were above the published ones at equal J-CTO, {} that they were half as high again, {} that they were more than double. "
        "That starts from no difference, a doubling or halving at 1.4 standard deviations.",
        audit.series ? audit.series->cases.size() : 0, Percent(audit.belief->above), Percent(audit.belief->half_more), Percent(audit.belief->doubled)));
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
  AuditRows rows;
  const PackedSlice packed = PackedOf(all, slice);
  for (const PackedCase& row : all.cases()) {
    if (Holds(all, row, packed)) rows.push_back(&row);
  }
  Audit audit;
  audit.cases = rows.size();
  for (const PackedCase* row : rows) {
    audit.invented += row->invented ? 1 : 0;
    audit.no_outcome += row->success < 0 ? 1 : 0;
    audit.no_difficulty += row->success >= 0 && row->j_cto < 0 ? 1 : 0;
    audit.no_complication_entry += row->complication < 0 ? 1 : 0;
  }
  AddParts(all, rows, audit);
  audit.missing = MissingOf(rows);
  audit.minutes = QuartilesBy(rows, &PackedCase::minutes);
  audit.contrast_ml = QuartilesBy(rows, &PackedCase::contrast_ml);
  audit.air_kerma_gy = QuartilesBy(rows, &PackedCase::air_kerma_gy);
  AddHabits(all, rows, audit);
  AddYardsticks(all, rows, audit);
  CompareWithReference(all, rows, audit);
  Say(audit);
  return audit;
}

}  // namespace fairlead
