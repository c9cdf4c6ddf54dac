// SPDX-License-Identifier: Apache-2.0
// ULID, the id of an entry or a case: 48 bits of milliseconds since 1970, then 80 random bits, as 26 characters of
// Crockford's base 32, so that ids made later sort later.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "measure/instant.h"

namespace fairlead {

// Capital letters only: one id has one spelling. The first character is at most '7' (more would not fit 128 bits).
bool IsUlid(std::string_view text);

// `random` is the caller's: ten fresh bytes from the system's generator. Instants before 1970 or after the year 10889
// do not fit and are clamped.
std::string NewUlid(Instant at, const std::array<std::uint8_t, 10>& random);

}  // namespace fairlead
