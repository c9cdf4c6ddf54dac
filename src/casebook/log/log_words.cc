// SPDX-License-Identifier: Apache-2.0
#include "casebook/log/log_words.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstddef>

namespace fairlead {
namespace {

bool IsBlank(char c) { return c == ' ' || c == '\t'; }

// from_chars would take "inf" and "nan"; a number of the log begins with a digit or a point.
bool TakeDigits(std::string_view& text, double& value) {
  if (text.empty() || ((text[0] < '0' || text[0] > '9') && text[0] != '.')) return false;
  const auto [rest, code] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (code != std::errc() || !std::isfinite(value)) return false;
  text.remove_prefix(static_cast<std::size_t>(rest - text.data()));
  return true;
}

bool IsJoin(std::string_view text, char joined) {
  return text.size() > 1 && text[0] == joined && ((text[1] >= '0' && text[1] <= '9') || text[1] == '.');
}

}  // namespace

std::string LowerCase(std::string_view text) {
  std::string small(text);
  for (char& c : small) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return small;
}

std::string ShortestDigits(double value) {
  char text[32];
  return {text, std::to_chars(text, text + sizeof text, value).ptr};
}

LogWords SplitLogLine(std::string_view text) {
  LogWords split;
  const std::size_t semicolon = std::min(text.find(';'), text.size());
  std::string_view remark = text.substr(std::min(semicolon + 1, text.size()));
  while (!remark.empty() && IsBlank(remark.front())) remark.remove_prefix(1);
  while (!remark.empty() && IsBlank(remark.back())) remark.remove_suffix(1);
  split.remark = remark;
  text = text.substr(0, semicolon);
  while (!text.empty()) {
    std::size_t end = 0;
    while (end < text.size() && !IsBlank(text[end])) ++end;
    const std::string_view word = text.substr(0, end);
    if (word.starts_with('@')) split.times.emplace_back(word.substr(1));
    else if (!word.empty()) split.words.emplace_back(word);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return split;
}

std::optional<TypedNumber> ReadTypedNumber(std::string_view small) {
  TypedNumber number;
  if (!small.empty() && (small[0] == '+' || small[0] == '=' || small[0] == '-')) {
    number.sign = small[0];
    small.remove_prefix(1);
  }
  for (const std::string_view turned : {"lao", "rao", "cra", "cau"}) {
    if (number.sign != 0 || !small.starts_with(turned)) continue;
    number.turned = turned;
    small.remove_prefix(turned.size());
  }
  if (number.sign == 0 && number.turned.empty() && IsJoin(small, 'x')) {
    small.remove_prefix(1);
    number.only_second = true;
    number.joined = 'x';
  }
  double value = 0.0;
  if (!TakeDigits(small, value)) return std::nullopt;
  (number.only_second ? number.second.emplace() : number.first) = value;
  for (const char joined : {'x', '/'}) {
    if (number.joined != 0 || !IsJoin(small, joined)) continue;
    small.remove_prefix(1);
    number.joined = joined;
    if (!TakeDigits(small, number.second.emplace())) return std::nullopt;
  }
  number.unit = small;
  return number;
}

std::optional<double> UnitFactor(const FieldRow& row, std::string_view unit) {
  const auto found = std::ranges::find_if(row.units, [unit](const RunUnit& one) { return LowerCase(one.unit) == unit; });
  return found == row.units.end() ? std::nullopt : std::optional(found->factor);
}

std::string KeyName(RunField field) {
  const FieldRow& row = RowOf(field);
  return std::string(row.type == FieldType::kNumber ? row.label : row.name);
}

bool MeansSomething(const VerbRow& row, std::string_view small) {
  if (row.side != SideUse::kNoSide && (small == "a" || small == "r" || small == "antegrade" || small == "retrograde")) return true;
  if (ReadTypedNumber(small)) return true;
  return std::ranges::any_of(row.fields, [&](const VerbField& field) {
    const RunValue value{field.id, 0.0, std::string(small)};
    if (RowOf(field.id).type == FieldType::kTag) return FaultOf(field, value).empty();
    if (!field.plus.empty() && (field.plus == small || field.minus == small)) return true;
    return !field.words.empty() && !KeptWord(field.words, small).empty();
  });
}

}  // namespace fairlead
