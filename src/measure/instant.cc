// SPDX-License-Identifier: Apache-2.0
#include "measure/instant.h"

#include <charconv>
#include <chrono>
#include <optional>

namespace fairlead {
namespace {

constexpr std::int64_t kMsPerDay = 86'400'000;

void AppendDigits(std::string& text, std::int64_t value, int width) {
  std::string digits = std::to_string(value);
  text.append(static_cast<std::size_t>(width) > digits.size() ? static_cast<std::size_t>(width) - digits.size() : 0, '0');
  text += digits;
}

// Reads exactly `width` digits at `at`, or nothing.
std::optional<int> Digits(std::string_view text, std::size_t at, std::size_t width) {
  if (at + width > text.size()) return std::nullopt;
  int value = 0;
  for (std::size_t i = at; i < at + width; ++i) {
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    value = value * 10 + (text[i] - '0');
  }
  return value;
}

Error Refuse(std::string_view text, std::string why) {
  return {"'" + std::string(text.substr(0, 40)) + "' is not a time: " + std::move(why), "",
          "write it like 2026-11-25T09:41:07Z or 2026-11-25T10:41:07+01:00"};
}

bool IsAt(std::string_view text, std::size_t at, char expected) { return at < text.size() && text[at] == expected; }

// Offset from UTC in minutes at the end of the text, or nothing when it is missing or malformed.
std::optional<int> Zone(std::string_view rest) {
  if (rest == "Z" || rest == "z") return 0;
  if (rest.size() != 6 || (rest[0] != '+' && rest[0] != '-') || rest[3] != ':') return std::nullopt;
  const auto hours = Digits(rest, 1, 2);
  const auto minutes = Digits(rest, 4, 2);
  if (!hours || !minutes || *hours > 23 || *minutes > 59) return std::nullopt;
  return (rest[0] == '-' ? -1 : 1) * (*hours * 60 + *minutes);
}

}  // namespace

std::string ToIso(Instant t) {
  using namespace std::chrono;
  const sys_time<milliseconds> moment{milliseconds{t.ms}};
  const auto day = floor<days>(moment);
  const year_month_day date{day};
  const hh_mm_ss clock{moment - day};
  std::string text;
  text.reserve(24);
  AppendDigits(text, static_cast<int>(date.year()), 4);
  text += '-';
  AppendDigits(text, static_cast<unsigned>(date.month()), 2);
  text += '-';
  AppendDigits(text, static_cast<unsigned>(date.day()), 2);
  text += 'T';
  AppendDigits(text, clock.hours().count(), 2);
  text += ':';
  AppendDigits(text, clock.minutes().count(), 2);
  text += ':';
  AppendDigits(text, clock.seconds().count(), 2);
  text += '.';
  AppendDigits(text, clock.subseconds().count(), 3);
  text += 'Z';
  return text;
}

Result<Instant> ParseIso(std::string_view text) {
  using namespace std::chrono;
  const auto y = Digits(text, 0, 4), mo = Digits(text, 5, 2), d = Digits(text, 8, 2);
  const auto h = Digits(text, 11, 2), mi = Digits(text, 14, 2), s = Digits(text, 17, 2);
  const bool marks = IsAt(text, 4, '-') && IsAt(text, 7, '-') && (IsAt(text, 10, 'T') || IsAt(text, 10, 't')) &&
                     IsAt(text, 13, ':') && IsAt(text, 16, ':');
  if (!marks || !y || !mo || !d || !h || !mi || !s) return Refuse(text, "date, T, hours, minutes and seconds are needed");
  const year_month_day date{year{*y}, month{static_cast<unsigned>(*mo)}, day{static_cast<unsigned>(*d)}};
  if (!date.ok()) return Refuse(text, "there is no such day");
  if (*h > 23 || *mi > 59 || *s > 59) return Refuse(text, "there is no such time of day");
  std::size_t at = 19;
  std::int64_t ms = 0;
  if (IsAt(text, at, '.')) {
    std::size_t digits = 0;
    for (++at; at < text.size() && text[at] >= '0' && text[at] <= '9'; ++at, ++digits)
      if (digits < 3) ms = ms * 10 + (text[at] - '0');
    if (digits == 0) return Refuse(text, "a digit must follow the point");
    for (; digits < 3; ++digits) ms *= 10;
  }
  const auto zone = Zone(text.substr(at));
  if (!zone) return Refuse(text, "the zone is missing or malformed");
  const std::int64_t days_since = sys_days{date}.time_since_epoch().count();
  return Instant{days_since * kMsPerDay + ((*h * 60LL + *mi - *zone) * 60 + *s) * 1000 + ms};
}

}  // namespace fairlead
