// SPDX-License-Identifier: Apache-2.0
#include "casebook/ulid.h"

#include <algorithm>

namespace fairlead {
namespace {
constexpr std::string_view kDigits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";  // without I, L, O, U
constexpr std::size_t kUlidLength = 26;
constexpr std::int64_t kLastMillisecond = (std::int64_t{1} << 48) - 1;
}  // namespace

bool IsUlid(std::string_view text) {
  return text.size() == kUlidLength && text.front() <= '7' &&
         text.find_first_not_of(kDigits) == std::string_view::npos;
}

std::string NewUlid(Instant at, const std::array<std::uint8_t, 10>& random) {
  std::array<std::uint8_t, 16> bytes{};
  const auto ms = static_cast<std::uint64_t>(std::clamp(at.ms, std::int64_t{0}, kLastMillisecond));
  for (std::size_t i = 0; i < 6; ++i) bytes[i] = static_cast<std::uint8_t>(ms >> (8 * (5 - i)));
  std::copy(random.begin(), random.end(), bytes.begin() + 6);
  // 26 digits of 5 bits are 130 bits: the number stands right-aligned below two zero bits.
  std::string text(kUlidLength, '0');
  for (std::size_t digit = 0; digit < kUlidLength; ++digit) {
    unsigned value = 0;
    for (std::size_t bit = digit * 5; bit < digit * 5 + 5; ++bit) {
      const bool set = bit >= 2 && ((bytes[(bit - 2) / 8] >> (7 - (bit - 2) % 8)) & 1) != 0;
      value = value * 2 + (set ? 1U : 0U);
    }
    text[digit] = kDigits[value];
  }
  return text;
}

}  // namespace fairlead
