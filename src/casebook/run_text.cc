// SPDX-License-Identifier: Apache-2.0
#include <charconv>
#include <cmath>

#include "casebook/run_table.h"

namespace fairlead {
namespace {

// As typed; what came of a change of units to five digits: "1.0973", not "1.097285067873303".
std::string Digits(double value) {
  char text[32];
  const std::string whole(text, std::to_chars(text, text + sizeof text, value).ptr);
  return whole.size() <= 7 ? whole : std::string(text, std::to_chars(text, text + sizeof text, value, std::chars_format::general, 5).ptr);
}

std::string NumberText(const VerbField& field, double number) {
  const FieldRow& row = RowOf(field.id);
  if (!field.plus.empty()) {
    std::string turned(number < 0.0 ? field.minus : field.plus);
    for (char& c : turned) c = static_cast<char>(c - 'a' + 'A');
    return turned + " " + Digits(std::abs(number));
  }
  std::string text = (field.sign == 0 ? "" : std::string(1, field.sign)) + Digits(number);
  if (!row.units.empty()) text += " " + std::string(row.units.front().unit);
  return text;
}

}  // namespace

std::string RunText(const RunEvent& event) {
  const VerbRow& row = RowOf(event.verb);
  std::string text(row.verb);
  if (const std::string_view tag = WordOf(event, RunField::kTag); !tag.empty()) text.append(" ").append(tag);
  if (event.side != RunSide::kNone) text.append(" ").append(SideName(event.side));
  bool first = true;
  for (const RunValue& value : event.values) {
    if (value.field == RunField::kTag) continue;
    const VerbField* field = FieldOf(row, value.field);
    if (field == nullptr) continue;
    text += first ? " " : ", ";
    first = false;
    text += RowOf(value.field).type == FieldType::kNumber ? NumberText(*field, value.number) : value.text;
  }
  if (!event.remark.empty()) text += ": " + event.remark;
  return text;
}

}  // namespace fairlead
