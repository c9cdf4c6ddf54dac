// SPDX-License-Identifier: Apache-2.0
// Yes, no and not known, joined: a condition that fails settles "all of them", one that holds settles "any of them",
// whatever is not known. Inside this room only.
#pragma once

#include <initializer_list>
#include <optional>

#include "record/outcome/labels.h"

namespace fairlead {

inline LabelAnswer Held(std::optional<bool> value) {
  if (!value) return LabelAnswer::kUnknown;
  return *value ? LabelAnswer::kYes : LabelAnswer::kNo;
}

template <typename T, typename Test>
LabelAnswer Holds(const std::optional<T>& value, Test test) {
  return value ? Held(test(*value)) : LabelAnswer::kUnknown;
}

inline LabelAnswer Not(LabelAnswer answer) {
  if (answer == LabelAnswer::kUnknown) return answer;
  return answer == LabelAnswer::kYes ? LabelAnswer::kNo : LabelAnswer::kYes;
}

inline LabelAnswer AnyOf(std::initializer_list<LabelAnswer> answers) {
  LabelAnswer joined = LabelAnswer::kNo;
  for (const LabelAnswer answer : answers) {
    if (answer == LabelAnswer::kYes) return answer;
    if (answer == LabelAnswer::kUnknown) joined = answer;
  }
  return joined;
}

inline LabelAnswer AllOf(std::initializer_list<LabelAnswer> answers) {
  LabelAnswer joined = LabelAnswer::kYes;
  for (const LabelAnswer answer : answers) {
    if (answer == LabelAnswer::kNo) return answer;
    if (answer == LabelAnswer::kUnknown) joined = answer;
  }
  return joined;
}

}  // namespace fairlead
