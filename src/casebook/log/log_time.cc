// SPDX-License-Identifier: Apache-2.0
#include <charconv>
#include <cmath>
#include <cstddef>

#include "casebook/log/log_line.h"
#include "casebook/log/log_words.h"

namespace fairlead {
namespace {

constexpr std::int64_t kDay_ms = 86'400'000;
constexpr std::int64_t kAhead_ms = 2 * 60'000;        // clocks differ by so much; chosen
constexpr std::int64_t kLongestBack_ms = kDay_ms / 2;  // a clock time further back names another day; chosen

Error NoTime(std::string_view text) {
  return {"\"@" + std::string(text.substr(0, 40)) + "\" is no time", "the log line", "type @10:42, @-5m, or a date and time with a zone"};
}

std::optional<int> TakeTwo(std::string_view& text, int most) {
  if (text.size() < 2 || text[0] < '0' || text[0] > '9' || text[1] < '0' || text[1] > '9') return std::nullopt;
  const int value = (text[0] - '0') * 10 + (text[1] - '0');
  text.remove_prefix(2);
  return value > most ? std::nullopt : std::optional(value);
}

// "10:42", "10:42:30": milliseconds of the day.
std::optional<std::int64_t> ReadClock(std::string_view text) {
  std::int64_t ms = 0;
  if (text.size() > 1 && text[1] == ':') {  // 9:42
    if (text[0] < '0' || text[0] > '9') return std::nullopt;
    ms = (text[0] - '0') * 3'600'000LL;
    text.remove_prefix(1);
  } else {
    const auto hour = TakeTwo(text, 23);
    if (!hour) return std::nullopt;
    ms = *hour * 3'600'000LL;
  }
  for (const std::int64_t unit : {60'000LL, 1'000LL}) {
    if (text.empty() && unit == 1'000) return ms;
    if (!text.starts_with(':')) return std::nullopt;
    text.remove_prefix(1);
    const auto part = TakeTwo(text, 59);
    if (!part) return std::nullopt;
    ms += *part * unit;
  }
  return text.empty() ? std::optional(ms) : std::nullopt;
}

// "-5m", "-90s", "-1h".
std::optional<std::int64_t> ReadBack(std::string_view text) {
  if (!text.starts_with('-')) return std::nullopt;
  double amount = 0.0;
  const auto [rest, code] = std::from_chars(text.data() + 1, text.data() + text.size(), amount);
  const std::string unit = LowerCase({rest, static_cast<std::size_t>(text.data() + text.size() - rest)});
  const double ms = unit == "s" ? 1e3 : unit == "m" || unit == "min" ? 6e4 : unit == "h" ? 36e5 : 0.0;
  if (code != std::errc() || ms == 0.0 || !(amount >= 0.0) || !(amount * ms <= static_cast<double>(kDay_ms))) return std::nullopt;
  return static_cast<std::int64_t>(std::llround(amount * ms));
}

}  // namespace

Result<Instant> ParseLogTime(std::string_view text, const LogRoom& room) {
  if (const auto back = ReadBack(text)) return Instant{room.now.ms - *back};
  if (const auto clock = ReadClock(text)) {
    const auto zone = static_cast<std::int64_t>(room.zone.milliseconds());
    const std::int64_t local = room.now.ms + zone;
    const std::int64_t midnight = local - ((local % kDay_ms) + kDay_ms) % kDay_ms;
    std::int64_t at = midnight + *clock - zone;
    if (at > room.now.ms + kAhead_ms) at -= kDay_ms;
    if (room.now.ms - at > kLongestBack_ms)
      return Error{"\"@" + std::string(text) + "\" is still to come, or more than twelve hours back", "the log line", "type the date and the time with a zone"};
    return Instant{at};
  }
  if (text.size() < 16) return NoTime(text);
  auto at = ParseIso(text);
  if (!at.ok()) return Within("the log line", at.error());
  return *at;
}

}  // namespace fairlead
