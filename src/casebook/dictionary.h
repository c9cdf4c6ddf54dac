// SPDX-License-Identifier: Apache-2.0
// The groups of the dictionary and the short forms in which their rows are written. fact.h has what others need.
#pragma once

#include <span>
#include <string_view>

#include "casebook/fact.h"

namespace fairlead {

std::span<const FactRow> PatientFacts();
std::span<const FactRow> IndicationFacts();
std::span<const FactRow> LesionFacts();
std::span<const FactRow> VesselFacts();  // on CT and beyond the occlusion
std::span<const FactRow> UltrasoundFacts();
std::span<const FactRow> CollateralFacts();
std::span<const FactRow> ProcedureFacts();

struct Range {
  double low, high;  // outside these a number is refused
};

// Rows without uncertainty of their own; the trailing functions add to them.
constexpr FactRow FlagRow(std::string_view name, FactGroup group, std::string_view label, SourceId source,
                          std::string_view definition) {
  return {name, FactType::kFlag, group, label, "", {}, false, false, false, 0, 1, {}, definition, source};
}
constexpr FactRow GradeRow(std::string_view name, FactGroup group, std::string_view label,
                           std::span<const std::string_view> grades, SourceId source, std::string_view definition) {
  return {name, FactType::kGrade, group, label, "", grades, false, false, false, 0, 0, {}, definition, source};
}
constexpr FactRow CountRow(std::string_view name, FactGroup group, std::string_view label, Range range, SourceId source,
                           std::string_view definition) {
  return {name,  FactType::kCount, group,      label, "",         {},    false, false,
          false, range.low,        range.high, {},    definition, source};
}
constexpr FactRow ReadingRow(std::string_view name, FactGroup group, std::string_view label, std::string_view unit,
                             Range range, SourceId source, std::string_view definition) {
  return {name,  FactType::kReading, group,      label, unit,       {},    false, false,
          false, range.low,          range.high, {},    definition, source};
}
constexpr FactRow MayBeUnseen(FactRow row) {
  row.may_be_unseen = true;
  return row;
}
constexpr FactRow PerChannel(FactRow row) {
  row.per_channel = true;
  return row;
}
constexpr FactRow Unit(FactRow row, std::string_view unit) {
  row.unit = unit;
  return row;
}
constexpr FactRow Spread(FactRow row, double share, double floor) {
  row.usual_spread = {share, floor};
  return row;
}

}  // namespace fairlead
