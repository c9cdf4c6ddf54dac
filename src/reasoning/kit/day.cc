// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>

#include "reasoning/kit/import.h"

namespace fairlead {
namespace {

int Whole(std::string_view digits) {
  int value = -1;
  const auto [end, fault] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  return fault == std::errc() && end == digits.data() + digits.size() && !digits.starts_with('-') ? value : -1;
}

std::string Day(int year, int month, int day) {
  if (year < 1990 || year > 2100 || month < 1 || month > 12) return {};
  const int last = LastDayOf(year, month);
  if (day == 0) day = last;
  return day < 1 || day > last ? std::string() : fmt::format("{:04}-{:02}-{:02}", year, month, day);
}

struct DayParts {
  std::array<int, 3> value{};
  std::size_t count = 0;
  bool year_first = false;
  char sign = '-';
};

// Two or three numbers between the same signs, a year of four digits first or last; or YYYYMMDD.
std::optional<DayParts> Parts(std::string_view text) {
  DayParts parts;
  if (text.size() == 8 && Whole(text) > 0) return DayParts{{Whole(text.substr(0, 4)), Whole(text.substr(4, 2)), Whole(text.substr(6))}, 3, true, '-'};
  const auto sign = text.find_first_of("-./");
  if (sign == std::string_view::npos) return std::nullopt;
  parts.sign = text[sign];
  std::array<std::size_t, 3> digits{};
  while (true) {
    const auto end = std::min(text.find(parts.sign), text.size());
    if (parts.count == 3 || end == 0 || end > 4) return std::nullopt;
    digits[parts.count] = end;
    parts.value[parts.count] = Whole(text.substr(0, end));
    if (parts.value[parts.count++] < 0) return std::nullopt;
    if (end == text.size()) break;
    text.remove_prefix(end + 1);
  }
  parts.year_first = digits[0] == 4;
  const std::size_t year = parts.year_first ? 0 : parts.count - 1;
  for (std::size_t i = 0; i < parts.count; ++i) {
    if ((i == year) != (digits[i] == 4) || (i != year && digits[i] > 2)) return std::nullopt;
  }
  return parts.count < 2 ? std::nullopt : std::optional(parts);
}

}  // namespace

int LastDayOf(int year, int month) {
  constexpr std::array<int, 12> kDays = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  return month == 2 && leap ? 29 : kDays[static_cast<std::size_t>(month - 1)];
}

void DayOrderVote::Add(std::string_view text) {
  const auto parts = Parts(text);
  if (!parts || parts->year_first || parts->count != 3) return;
  day_ = day_ || (parts->value[0] > 12 && parts->value[1] <= 12);
  month_ = month_ || (parts->value[1] > 12 && parts->value[0] <= 12);
}

DayOrder DayOrderVote::Result() const {
  if (day_ == month_) return DayOrder::kUnsure;
  return day_ ? DayOrder::kDayFirst : DayOrder::kMonthFirst;
}

std::string ReadDay(std::string_view text, DayOrder order) {
  const auto parts = Parts(text);
  if (!parts) return {};
  const auto& [a, b, c] = parts->value;
  if (parts->count == 2) return parts->year_first ? Day(a, b, 0) : Day(b, a, 0);
  if (parts->year_first) return c == 0 ? std::string() : Day(a, b, c);
  if (a == 0 || b == 0) return {};
  const bool told = a > 12 || b > 12 || a == b || parts->sign == '.';  // points are written with the day first
  if (!told && order == DayOrder::kUnsure) return {};
  const bool month_first = a <= 12 && (b > 12 || (parts->sign != '.' && order == DayOrder::kMonthFirst));
  return month_first ? Day(c, a, b) : Day(c, b, a);
}

}  // namespace fairlead
