// SPDX-License-Identifier: Apache-2.0
#include "casebook/run_event.h"

#include <algorithm>

#include "casebook/run_table.h"

namespace fairlead {

std::string_view SideName(RunSide side) {
  switch (side) {
    case RunSide::kNone: return "";
    case RunSide::kAntegrade: return "antegrade";
    case RunSide::kRetrograde: return "retrograde";
  }
  return "";
}

const RunValue* ValueOf(const RunEvent& event, RunField field) {
  const auto found = std::ranges::find(event.values, field, &RunValue::field);
  return found == event.values.end() ? nullptr : &*found;
}

std::optional<double> NumberOf(const RunEvent& event, RunField field) {
  const RunValue* value = ValueOf(event, field);
  return value == nullptr ? std::nullopt : std::optional(value->number);
}

std::string_view WordOf(const RunEvent& event, RunField field) {
  const RunValue* value = ValueOf(event, field);
  return value == nullptr ? std::string_view() : std::string_view(value->text);
}

void Put(RunEvent& event, RunValue value) {
  std::erase_if(event.values, [&](const RunValue& held) { return held.field == value.field; });
  const auto fields = RowOf(event.verb).fields;
  const auto place = [&](RunField field) { return std::ranges::find(fields, field, &VerbField::id); };
  const auto after = std::ranges::find_if(event.values, [&](const RunValue& held) { return place(held.field) > place(value.field); });
  event.values.insert(after, std::move(value));
}

}  // namespace fairlead
