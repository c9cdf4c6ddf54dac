// SPDX-License-Identifier: Apache-2.0
// A writer of JPEG process 14, selection value 1 (ITU-T T.81 annex H): each pixel as its difference from the one before.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace fairlead {

// One grey frame, rows x columns values below 2^bits; bits from 2 to 12.
std::vector<std::uint8_t> JpegLosslessFrame(std::span<const std::uint16_t> pixels, int rows, int columns, int bits);

}  // namespace fairlead
