// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <cstddef>

#include "casebook/log/log_line.h"
#include "casebook/log/log_words.h"

namespace fairlead {
namespace {

std::string UnitOf(const FieldRow& row) { return row.units.empty() ? std::string() : std::string(row.units.front().unit); }

std::string NumberWord(const VerbField& field, double number) {
  const FieldRow& row = RowOf(field.id);
  if (!field.plus.empty()) return std::string(number < 0.0 ? field.minus : field.plus) + ShortestDigits(std::abs(number));
  std::string text = field.keyed ? KeyName(field.id) + ":" : std::string();
  if (field.sign != 0) text += field.sign;
  return text + ShortestDigits(number) + UnitOf(row);
}

std::string OtherWord(const VerbRow& row, const VerbField& field, const std::string& text) {
  if (RowOf(field.id).type != FieldType::kName) return text;
  return field.keyed || MeansSomething(row, text) ? KeyName(field.id) + ":" + text : text;
}

}  // namespace

std::string LogText(const RunEvent& event) {
  const VerbRow& row = RowOf(event.verb);
  std::string text(row.verb);
  if (event.side != RunSide::kNone) text += event.side == RunSide::kAntegrade ? " a" : " r";
  for (std::size_t i = 0; i < row.fields.size(); ++i) {
    const VerbField& field = row.fields[i];
    const RunValue* value = ValueOf(event, field.id);
    if (field.joined != 0) {  // "2.5x15"
      const RunValue* second = ValueOf(event, row.fields[i + 1].id);
      ++i;
      if (second != nullptr) {
        text += " " + (value == nullptr ? std::string() : ShortestDigits(value->number)) + field.joined + ShortestDigits(second->number);
        continue;
      }
    }
    if (value == nullptr) continue;
    text += " " + (RowOf(field.id).type == FieldType::kNumber ? NumberWord(field, value->number) : OtherWord(row, field, value->text));
  }
  if (!event.remark.empty()) text += " ; " + event.remark;
  return text;
}

}  // namespace fairlead
