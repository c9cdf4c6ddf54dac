// SPDX-License-Identifier: Apache-2.0
#include "casebook/run_table.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <vector>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum FieldType;

constexpr auto kAtm = std::to_array<RunUnit>({{"atm", 1.0}, {"bar", 1.0 / 1.01325}});  // SI brochure, table 8
constexpr auto kKermaUnits = std::to_array<RunUnit>({{"Gy", 1.0}, {"mgy", 1e-3}});
constexpr auto kAreaUnits = std::to_array<RunUnit>(
    {{"Gycm2", 1.0}, {"gy.cm2", 1.0}, {"mgycm2", 1e-3}, {"cgycm2", 1e-2}, {"dgycm2", 1e-1}, {"ugym2", 1e-2}, {"gym2", 1e4}});
constexpr auto kDoses = std::to_array<RunUnit>({{"mg", 1.0}, {"mcg", 1e-3}, {"ug", 1e-3}, {"g", 1e3}});
constexpr auto kTimes = std::to_array<RunUnit>({{"s", 1.0}, {"sec", 1.0}, {"min", 60.0}});
constexpr auto kMillilitres = std::to_array<RunUnit>({{"mL", 1.0}, {"l", 1e3}});
// 1 mg/dL of creatinine is 88.4 µmol/L, of haemoglobin 10 g/L.
constexpr auto kCreatinineUnits = std::to_array<RunUnit>({{"mg/dL", 1.0}, {"umol/l", 1.0 / 88.4}, {"µmol/l", 1.0 / 88.4}});
constexpr auto kHaemoglobinUnits = std::to_array<RunUnit>({{"g/dL", 1.0}, {"g/l", 0.1}});
constexpr auto kMm = std::to_array<RunUnit>({{"mm", 1.0}});
constexpr auto kCm = std::to_array<RunUnit>({{"cm", 1.0}});
constexpr auto kFrenchUnits = std::to_array<RunUnit>({{"F", 1.0}, {"fr", 1.0}});
constexpr auto kGram = std::to_array<RunUnit>({{"g", 1.0}});
constexpr auto kSeconds = std::to_array<RunUnit>({{"s", 1.0}});
constexpr auto kIodineUnits = std::to_array<RunUnit>({{"mgI", 1.0}, {"mgi/ml", 1.0}});
constexpr auto kUnitsUnits = std::to_array<RunUnit>({{"IU", 1.0}, {"u", 1.0}, {"units", 1.0}, {"k", 1e3}});
constexpr auto kHourly = std::to_array<RunUnit>({{"IU/h", 1.0}, {"u/h", 1.0}});
constexpr auto kMinutes = std::to_array<RunUnit>({{"min", 1.0}, {"s", 1.0 / 60.0}});
constexpr auto kPressureUnits = std::to_array<RunUnit>({{"mmHg", 1.0}});
constexpr auto kBeats = std::to_array<RunUnit>({{"bpm", 1.0}, {"/min", 1.0}});
constexpr auto kPercent = std::to_array<RunUnit>({{"%", 1.0}});
constexpr auto kDegrees = std::to_array<RunUnit>({{"deg", 1.0}});
constexpr auto kDaysUnits = std::to_array<RunUnit>({{"d", 1.0}, {"days", 1.0}});
constexpr auto kTroponinUnits = std::to_array<RunUnit>({{"xURL", 1.0}});
constexpr auto kCkMbUnits = std::to_array<RunUnit>({{"xULN", 1.0}});

constexpr FieldRow N(RunField id, std::string_view name, std::string_view label, std::span<const RunUnit> units = {}) {
  return {id, name, kNumber, label, units};
}
constexpr FieldRow W(RunField id, std::string_view name, FieldType type = kWord) { return {id, name, type, name, {}}; }

// In the order of RunField.
constexpr auto kFields = std::to_array<FieldRow>({
    N(RunField::kAct, "act_s", "clotting time", kSeconds),
    N(RunField::kAdd, "add_ml", "added", kMillilitres),
    N(RunField::kTotal, "total_ml", "total", kMillilitres),
    N(RunField::kIodine, "iodine_mg_ml", "iodine", kIodineUnits),
    N(RunField::kUnits, "units_iu", "units", kUnitsUnits),
    N(RunField::kUnitsPerHour, "rate_iu_h", "rate", kHourly),
    N(RunField::kDose, "dose_mg", "dose", kDoses),
    N(RunField::kVolume, "volume_ml", "volume", kMillilitres),
    N(RunField::kKerma, "air_kerma_gy", "air kerma", kKermaUnits),
    N(RunField::kArea, "kerma_area_gycm2", "kerma-area product", kAreaUnits),
    N(RunField::kFluoro, "fluoro_min", "fluoroscopy", kMinutes),
    N(RunField::kDiameter, "diameter_mm", "diameter", kMm),
    N(RunField::kLength, "length_mm", "length", kMm),
    N(RunField::kWireLength, "length_cm", "length", kCm),
    N(RunField::kFrench, "size_f", "size", kFrenchUnits),
    N(RunField::kTipLoad, "tip_g", "tip load", kGram),
    N(RunField::kPressure, "pressure_atm", "pressure", kAtm),
    N(RunField::kFor, "duration_s", "for", kTimes),
    N(RunField::kDepth, "depth_cm", "depth", kCm),
    N(RunField::kEemMin, "least_mm", "least diameter", kMm),
    N(RunField::kEemMax, "greatest_mm", "greatest diameter", kMm),
    N(RunField::kSystolic, "systolic_mmhg", "systolic", kPressureUnits),
    N(RunField::kDiastolic, "diastolic_mmhg", "diastolic", kPressureUnits),
    N(RunField::kHeartRate, "rate_bpm", "rate", kBeats),
    N(RunField::kSaturation, "saturation_pct", "saturation", kPercent),
    N(RunField::kPain, "pain_of_10", "pain"),
    N(RunField::kFlow, "flow", "flow"),
    N(RunField::kResidual, "residual_pct", "residual stenosis", kPercent),
    N(RunField::kEffusion, "effusion_mm", "effusion", kMm),
    N(RunField::kPrimary, "primary_deg", "primary angle", kDegrees),
    N(RunField::kSecondary, "secondary_deg", "secondary angle", kDegrees),
    N(RunField::kPlan, "plan", "plan"),
    N(RunField::kDays, "days", "days", kDaysUnits),
    N(RunField::kCount, "count", "count"),
    N(RunField::kArc, "calcium_arc_deg", "calcium arc", kDegrees),
    N(RunField::kCreatinine, "creatinine_mg_dl", "creatinine", kCreatinineUnits),
    N(RunField::kHaemoglobin, "haemoglobin_g_dl", "haemoglobin", kHaemoglobinUnits),
    N(RunField::kTroponin, "troponin_times_url", "troponin", kTroponinUnits),
    N(RunField::kCkMb, "ck_mb_times_uln", "CK-MB", kCkMbUnits),
    W(RunField::kStrategy, "strategy"), W(RunField::kReason, "reason"), W(RunField::kPhase, "phase"),
    W(RunField::kObject, "object"), W(RunField::kBy, "by"), W(RunField::kSpace, "space"), W(RunField::kProof, "proof"),
    W(RunField::kWhere, "where"), W(RunField::kSite, "site"), W(RunField::kClass, "class"), W(RunField::kMove, "move"),
    W(RunField::kState, "state"), W(RunField::kKind, "kind"), W(RunField::kWho, "who"), W(RunField::kDrug, "drug"),
    W(RunField::kFinding, "finding"), W(RunField::kCause, "cause"), W(RunField::kOutcome, "outcome"),
    W(RunField::kAnalyser, "analyser"), W(RunField::kRoute, "route"), W(RunField::kBodySide, "body_side"),
    W(RunField::kExam, "exam"), W(RunField::kDecision, "decision"), W(RunField::kPart, "part"), W(RunField::kGate, "gate"),
    W(RunField::kTag, "tag", kTag), W(RunField::kChannel, "channel", kTag), W(RunField::kRule, "rule", kTag),
    W(RunField::kItem, "item", kName), W(RunField::kKit, "kit", kName), W(RunField::kUdi, "udi", kName),
    W(RunField::kSegment, "seg", kName), W(RunField::kBranch, "branch", kName),
});

std::vector<VerbRow> Gathered() {
  std::vector<VerbRow> rows;
  for (const auto part : {SessionVerbs(), AttemptVerbs(), KitVerbs(), TreatingVerbs(), FindingVerbs(), TotalVerbs(),
                          BloodVerbs(), LookingVerbs(), TroubleVerbs()})
    rows.insert(rows.end(), part.begin(), part.end());
  return rows;
}

std::string Digits(double value) {
  char text[32];
  return {text, std::to_chars(text, text + sizeof text, value).ptr};
}

bool IsTag(std::string_view letters, std::string_view text) {
  const std::size_t digits = text.find_last_not_of("0123456789") + 1;
  return digits > 0 && digits < text.size() && text.size() - digits <= 3 && Lists(letters, text.substr(0, digits));
}

bool IsName(std::string_view text) {
  constexpr std::string_view kLetters = "abcdefghijklmnopqrstuvwxyz0123456789-._()";
  return !text.empty() && text.size() <= 64 && text.find_first_not_of(kLetters) == std::string_view::npos;
}

std::string NumberFault(const VerbField& field, double number) {
  if (std::isfinite(number) && number >= field.low && number <= field.high) return {};
  const FieldRow& row = RowOf(field.id);
  const std::string unit = row.units.empty() ? "" : " " + std::string(row.units.front().unit);
  return std::string(row.label) + " " + Digits(number) + unit + " is outside " + Digits(field.low) + " to " + Digits(field.high) + unit;
}

}  // namespace

std::span<const VerbRow> RunTable() {
  static const std::vector<VerbRow> rows = Gathered();
  return rows;
}

const VerbRow& RowOf(Verb verb) { return RunTable()[static_cast<std::size_t>(verb)]; }

const VerbRow* FindVerb(std::string_view word) {
  const auto rows = RunTable();
  const auto found = std::ranges::find_if(rows, [word](const VerbRow& row) { return row.verb == word || Lists(row.also, word); });
  return found == rows.end() ? nullptr : &*found;
}

const FieldRow& RowOf(RunField field) { return kFields[static_cast<std::size_t>(field)]; }

const VerbField* FieldOf(const VerbRow& row, RunField field) {
  const auto found = std::ranges::find(row.fields, field, &VerbField::id);
  return found == row.fields.end() ? nullptr : &*found;
}

const VerbField* FieldOf(const VerbRow& row, std::string_view member_name) {
  const auto found = std::ranges::find_if(row.fields, [&](const VerbField& field) { return RowOf(field.id).name == member_name; });
  return found == row.fields.end() ? nullptr : &*found;
}

bool Lists(std::string_view list, std::string_view word) {
  while (!list.empty()) {
    const std::size_t end = std::min(list.find(' '), list.size());
    if (list.substr(0, end) == word) return true;
    list.remove_prefix(std::min(end + 1, list.size()));
  }
  return false;
}

std::string_view KeptWord(std::span<const RunWord> words, std::string_view spelling) {
  const auto same = [spelling](std::string_view word) {
    return std::ranges::equal(word, spelling, [](char a, char b) { return (a >= 'A' && a <= 'Z' ? a + 32 : a) == b; });
  };
  for (const RunWord& word : words)
    if (same(word.word) || Lists(word.also, spelling)) return word.word;
  return {};
}

std::string FaultOf(const VerbField& field, const RunValue& value) {
  const FieldRow& row = RowOf(field.id);
  switch (row.type) {
    case kNumber: return NumberFault(field, value.number);
    case kWord:
      if (std::ranges::find(field.words, value.text, &RunWord::word) != field.words.end()) return {};
      return "\"" + value.text.substr(0, 40) + "\" is no " + std::string(row.label) + " here";
    case kTag: return IsTag(field.letters, value.text) ? "" : "\"" + value.text.substr(0, 40) + "\" is no " + std::string(row.label) + " here";
    case kName: return IsName(value.text) ? "" : "\"" + value.text.substr(0, 40) + "\" is no name of small letters and digits";
  }
  return {};
}

}  // namespace fairlead
