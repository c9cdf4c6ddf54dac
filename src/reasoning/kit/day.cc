// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <array>
#include <charconv>

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

}  // namespace

int LastDayOf(int year, int month) {
  constexpr std::array<int, 12> kDays = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  return month == 2 && leap ? 29 : kDays[static_cast<std::size_t>(month - 1)];
}

std::string ReadDay(std::string_view text) {
  if (text.size() == 10 && text[4] == '-' && text[7] == '-') {
    const int day = Whole(text.substr(8, 2));
    return day == 0 ? std::string() : Day(Whole(text.substr(0, 4)), Whole(text.substr(5, 2)), day);
  }
  if (text.size() == 7 && text[4] == '-') return Day(Whole(text.substr(0, 4)), Whole(text.substr(5, 2)), 0);
  if (text.size() == 10 && text[2] == '.' && text[5] == '.') {
    const int day = Whole(text.substr(0, 2));
    return day == 0 ? std::string() : Day(Whole(text.substr(6, 4)), Whole(text.substr(3, 2)), day);
  }
  return {};
}

}  // namespace fairlead
