// SPDX-License-Identifier: Apache-2.0
#include "practice/registry/columns.h"

#include <fmt/format.h>

#include <array>

namespace fairlead {
namespace {

ColumnValue Word(const std::string& text) { return text.empty() ? ColumnValue{} : ColumnValue{text}; }
ColumnValue Figure(const std::optional<double>& value) { return value ? ColumnValue{*value} : ColumnValue{}; }
ColumnValue Flag(const std::optional<bool>& value) { return value ? ColumnValue{*value} : ColumnValue{}; }
ColumnValue Whole(std::int64_t value) { return value; }

std::string Joined(const std::vector<std::string>& words, const char* between) { return fmt::format("{}", fmt::join(words, between)); }

std::string StrategiesOf(const LabVisit& visit) {
  std::string all;
  for (const VisitAttempt& made : visit.attempts) all += (all.empty() ? "" : " ") + made.strategy;
  return all;
}

constexpr auto kVisit = std::to_array<Column<LabVisit>>({
    {"visit", "text", "the case's id; of its second visit with /2 after it", [](const LabVisit& v) { return Word(v.row.id); }},
    {"case", "text", "the case's id", [](const LabVisit& v) { return Word(v.case_id); }},
    {"visit_number", "count", "of the case's visits, from 1", [](const LabVisit& v) { return Whole(v.number); }},
    {"invented", "flag", "demonstration data", [](const LabVisit& v) { return ColumnValue{v.row.invented}; }},
    {"began", "time", "first arterial puncture; if none was logged, the first entry of the visit", [](const LabVisit& v) { return Word(ToIso(v.row.began)); }},
    {"ended", "time", "last guide out", [](const LabVisit& v) { return Word(ToIso(v.ended)); }},
    {"signed", "time", "when somebody first stood for the report of this visit; empty: nobody has, and the row may still change", [](const LabVisit& v) { return v.signed_at ? Word(ToIso(*v.signed_at)) : ColumnValue{}; }},
    {"minutes", "number", "from began to ended, breaks included", [](const LabVisit& v) { return Figure(v.row.minutes); }},
    {"by", "text", "who opened the case; empty where the program did", [](const LabVisit& v) { return Word(v.row.by); }},
    {"vessel", "text", "occluded vessel, most probable", [](const LabVisit& v) { return Word(v.row.vessel); }},
    {"j_cto", "count", "J-CTO total, most probable; empty while a missing fact could change it", [](const LabVisit& v) { return v.row.j_cto ? Whole(*v.row.j_cto) : ColumnValue{}; }},
    {"strategies", "text", "strategies in order", [](const LabVisit& v) { return Word(StrategiesOf(v)); }},
    {"success", "flag", "technical success: residual below 30 % and flow 3 where both are known, else the result as said", [](const LabVisit& v) { return Flag(v.row.success); }},
    {"result", "text", "result as said: success, partial, prepared, failed", [](const LabVisit& v) { return Word(v.result); }},
    {"residual_pct", "number", "residual stenosis", [](const LabVisit& v) { return Figure(v.residual_pct); }},
    {"flow", "number", "flow grade of the vessel, 0 to 3", [](const LabVisit& v) { return Figure(v.flow); }},
    {"complication", "flag", "death, infarction, stroke, urgent repeat or tamponade, in the visit or within 7 days; no only where somebody said so", [](const LabVisit& v) { return Flag(v.row.complication); }},
    {"contrast_ml", "number", "last total of the visit", [](const LabVisit& v) { return Figure(v.row.contrast_ml); }},
    {"air_kerma_gy", "number", "last total of the visit at the reference point", [](const LabVisit& v) { return Figure(v.row.air_kerma_gy); }},
    {"kerma_area_gycm2", "number", "last total of the visit", [](const LabVisit& v) { return Figure(v.kerma_area_gycm2); }},
    {"fluoro_min", "number", "last total of the visit", [](const LabVisit& v) { return Figure(v.fluoro_min); }},
    {"egfr_ml_min", "number", "stated, or from creatinine, age and sex; per 1.73 m2", [](const LabVisit& v) { return Figure(v.egfr); }},
    {"longest_act_gap_min", "number", "longest time without an ACT, from the first heparin to the end", [](const LabVisit& v) { return Figure(v.longest_act_gap_min); }},
    {"missing", "text", "columns that nobody filled", [](const LabVisit& v) { return Word(Joined(v.missing, " ")); }},
    {"remarks", "text", "what does not agree", [](const LabVisit& v) { return Word(Joined(v.remarks, "; ")); }},
    {"journal_seq", "count", "last entry of the journal that the row rests on", [](const LabVisit& v) { return Whole(v.seq); }},
});

constexpr auto kAttempt = std::to_array<Column<VisitAttempt>>({
    {"attempt", "count", "in the order in which they were made, from 1", [](const VisitAttempt& a) { return Whole(a.number); }},
    {"strategy", "text", "AW, ADR, RW or RDR", [](const VisitAttempt& a) { return Word(a.strategy); }},
    {"channel_kind", "text", "of a retrograde attempt", [](const VisitAttempt& a) { return Word(a.channel_kind); }},
    {"begun_min", "number", "after the visit began", [](const VisitAttempt& a) { return ColumnValue{a.begun_min}; }},
    {"minutes", "number", "at work, breaks taken out", [](const VisitAttempt& a) { return ColumnValue{a.minutes}; }},
    {"break_min", "number", "breaks within it", [](const VisitAttempt& a) { return ColumnValue{a.break_minutes}; }},
    {"stalled_min", "number", "of one that did not cross: at work from its last milestone, wire position or crossing to its end", [](const VisitAttempt& a) { return Figure(a.stalled_min); }},
    {"end", "text", "crossed, switched or stopped", [](const VisitAttempt& a) { return Word(a.ended); }},
    {"reason", "text", "reason code of a switch or stop", [](const VisitAttempt& a) { return Word(a.reason); }},
    {"ladder_next", "text", "way that the ladder put next when it was last shown during this attempt (stop: to stop); empty: it was not shown", [](const VisitAttempt& a) { return Word(a.ladder); }},
    {"contrast_ml", "number", "between the last totals said by its start and by its end", [](const VisitAttempt& a) { return Figure(a.contrast_ml); }},
    {"air_kerma_gy", "number", "between the last totals said by its start and by its end", [](const VisitAttempt& a) { return Figure(a.air_kerma_gy); }},
});

constexpr auto kDevice = std::to_array<Column<VisitDevice>>({
    {"kind", "text", "wire, guide, microcatheter, balloon, stent, ...", [](const VisitDevice& d) { return Word(d.kind); }},
    {"side", "text", "antegrade or retrograde", [](const VisitDevice& d) { return Word(d.side); }},
    {"what", "text", "class of a wire, lumens of a catheter, cutting, covered", [](const VisitDevice& d) { return Word(d.what); }},
    {"kit", "text", "the lab's nickname", [](const VisitDevice& d) { return Word(d.kit); }},
    {"size_f", "number", "French", [](const VisitDevice& d) { return Figure(d.size_f); }},
    {"diameter_mm", "number", "nominal", [](const VisitDevice& d) { return Figure(d.diameter_mm); }},
    {"length_mm", "number", "nominal", [](const VisitDevice& d) { return Figure(d.length_mm); }},
    {"tip_g", "number", "tip load of a wire", [](const VisitDevice& d) { return Figure(d.tip_g); }},
    {"in_min", "number", "after the visit began", [](const VisitDevice& d) { return ColumnValue{d.in_min}; }},
    {"out_min", "number", "after the visit began; empty: not said, or it stays", [](const VisitDevice& d) { return Figure(d.out_min); }},
    {"attempt", "count", "attempt at work when it came in; 0: between attempts", [](const VisitDevice& d) { return Whole(d.attempt); }},
});

constexpr auto kTrouble = std::to_array<Column<VisitTrouble>>({
    {"kind", "text", "perforation, tamponade, donor, stuck, ...", [](const VisitTrouble& t) { return Word(t.kind); }},
    {"grade", "text", "class of a perforation: I, II, III, cavity", [](const VisitTrouble& t) { return Word(t.grade); }},
    {"site", "text", "as far as said", [](const VisitTrouble& t) { return Word(t.site); }},
    {"cause", "text", "as far as said", [](const VisitTrouble& t) { return Word(t.cause); }},
    {"strategy", "text", "technique at work when it began", [](const VisitTrouble& t) { return Word(t.strategy); }},
    {"at_min", "number", "after the visit began", [](const VisitTrouble& t) { return ColumnValue{t.at_min}; }},
    {"minutes", "number", "until it was over; empty: nobody said", [](const VisitTrouble& t) { return Figure(t.minutes); }},
});

}  // namespace

std::span<const Column<LabVisit>> VisitColumns() { return kVisit; }
std::span<const Column<VisitAttempt>> AttemptColumns() { return kAttempt; }
std::span<const Column<VisitDevice>> DeviceColumns() { return kDevice; }
std::span<const Column<VisitTrouble>> TroubleColumns() { return kTrouble; }

std::string CellOf(const ColumnValue& value) {
  if (const auto* flag = std::get_if<bool>(&value)) return *flag ? "yes" : "no";
  if (const auto* number = std::get_if<double>(&value)) return fmt::format("{:.6g}", *number);
  if (const auto* whole = std::get_if<std::int64_t>(&value)) return std::to_string(*whole);
  if (const auto* text = std::get_if<std::string>(&value)) return *text;
  return {};
}

}  // namespace fairlead
