// SPDX-License-Identifier: Apache-2.0
// Bytes that nobody can guess, from the kernel.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>

#include "measure/instant.h"

namespace fairlead {

// `bytes` random bytes as small hexadecimal digits.
std::string RandomHex(std::size_t bytes);

// The random part of a ULID.
std::array<std::uint8_t, 10> RandomTail();

// The computer's clock.
Instant Now();

}  // namespace fairlead
