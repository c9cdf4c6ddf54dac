// SPDX-License-Identifier: Apache-2.0
// A moment in time, to the millisecond, always in UTC inside; ISO 8601 with a zone outside.
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

struct Instant {
  std::int64_t ms = 0;  // since 1970-01-01T00:00:00Z, leap seconds not counted
  friend constexpr auto operator<=>(Instant, Instant) = default;
};

constexpr Instant operator+(Instant t, Duration d) { return {t.ms + static_cast<std::int64_t>(d.milliseconds())}; }
constexpr Duration operator-(Instant a, Instant b) { return Duration::Milliseconds(static_cast<double>(a.ms - b.ms)); }

// "2026-11-25T09:41:07.250Z": always UTC, always milliseconds, 24 characters, so that text order is time order
// (years 0000 to 9999).
std::string ToIso(Instant t);

// ISO 8601 (RFC 3339 profile: date, 'T', time to the second or finer, then 'Z' or an offset). Finer than milliseconds
// is cut off. A time without a zone is refused: nobody can say which moment it is.
Result<Instant> ParseIso(std::string_view text);

}  // namespace fairlead
