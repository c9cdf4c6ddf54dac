// SPDX-License-Identifier: Apache-2.0
// The parts of the table of the log and the short forms in which its rows are written. run_table.h has what others need.
#pragma once

#include <span>
#include <string_view>

#include "casebook/run_table.h"

namespace fairlead {

// Each in a file of its own.
std::span<const VerbRow> SessionVerbs();
std::span<const VerbRow> AttemptVerbs();
std::span<const VerbRow> KitVerbs();
std::span<const VerbRow> TreatingVerbs();
std::span<const VerbRow> FindingVerbs();
std::span<const VerbRow> TotalVerbs();
std::span<const VerbRow> BloodVerbs();
std::span<const VerbRow> LookingVerbs();
std::span<const VerbRow> TroubleVerbs();

// Short forms in which the parts are written.
constexpr VerbField NumberIn(RunField id, double low, double high, FieldNeed need = FieldNeed::kMay) {
  VerbField field;
  field.id = id;
  field.need = need;
  field.low = low;
  field.high = high;
  return field;
}
constexpr VerbField Bare(VerbField field) { field.bare = true; return field; }
constexpr VerbField Signed(VerbField field, char sign) { field.sign = sign; return field; }
constexpr VerbField Joined(VerbField field, char joined) { field.joined = joined; return field; }
constexpr VerbField Turned(VerbField field, std::string_view plus, std::string_view minus) {
  field.plus = plus;
  field.minus = minus;
  return field;
}
constexpr VerbField Keyed(VerbField field) { field.keyed = true; return field; }
constexpr VerbField OneOf(RunField id, std::span<const RunWord> words, FieldNeed need = FieldNeed::kMay) {
  VerbField field;
  field.id = id;
  field.need = need;
  field.words = words;
  return field;
}
constexpr VerbField TagOf(RunField id, std::string_view letters, FieldNeed need = FieldNeed::kMay) {
  VerbField field;
  field.id = id;
  field.need = need;
  field.letters = letters;
  return field;
}
constexpr VerbField NameOf(RunField id, FieldNeed need = FieldNeed::kMay, bool keyed = false) {
  VerbField field;
  field.id = id;
  field.need = need;
  field.keyed = keyed;
  return field;
}

}  // namespace fairlead
