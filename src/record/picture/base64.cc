// SPDX-License-Identifier: Apache-2.0
#include "record/picture/base64.h"

#include <cstddef>
#include <cstdint>

namespace fairlead {

std::string Base64(std::string_view bytes) {
  constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";  // RFC 4648, 4
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t left = bytes.size() - i;
    std::uint32_t three = 0;
    for (std::size_t j = 0; j < 3; ++j) three = three << 8 | (j < left ? static_cast<std::uint8_t>(bytes[i + j]) : 0U);
    text += kLetters[three >> 18];
    text += kLetters[three >> 12 & 63];
    text += left > 1 ? kLetters[three >> 6 & 63] : '=';
    text += left > 2 ? kLetters[three & 63] : '=';
  }
  return text;
}

}  // namespace fairlead
