// SPDX-License-Identifier: Apache-2.0
// Words and numbers of the log bar. Inside this room only.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/run_table.h"

namespace fairlead {

std::string LowerCase(std::string_view text);
std::string ShortestDigits(double value);

// Blanks part words; "a;b" and "; b" part the remark, which stays as it was typed.
struct LogWords {
  std::vector<std::string> words;  // without marks of time
  std::vector<std::string> times;  // without "@"
  std::string remark;
};
LogWords SplitLogLine(std::string_view text);

// "+40mL", "=208", "2.5x15mm", "128/74", "8k", "lao45".
struct TypedNumber {
  char sign = 0;            // '+', '=' or '-'
  std::string turned;       // "lao"
  double first = 0.0;
  char joined = 0;
  std::optional<double> second;
  bool only_second = false;  // "x15"
  std::string unit;
};
std::optional<TypedNumber> ReadTypedNumber(std::string_view small);

// The factor of a unit, typed in small letters; none if the field does not know it.
std::optional<double> UnitFactor(const FieldRow& row, std::string_view unit);

// The name of a field in "seg:7", "depth:25".
std::string KeyName(RunField field);

// Whether the word could be read as anything of the verb but a name.
bool MeansSomething(const VerbRow& row, std::string_view small);

}  // namespace fairlead
