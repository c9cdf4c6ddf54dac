// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/plain_word.h"

#include <cstdint>

namespace fairlead {
namespace {

// Latin-1 letters U+00C0 to U+00FF without their accents; '*' and '/' for the signs between them.
constexpr std::string_view kBare =
    "aaaaaaaceeeeiiii"
    "dnooooo*ouuuuyps"
    "aaaaaaaceeeeiiii"
    "dnooooo/ouuuuypy";

}  // namespace

std::string PlainWord(std::string_view text) {
  std::string plain;
  for (std::size_t at = 0; at < text.size(); ++at) {
    char c = text[at];
    const auto lead = static_cast<std::uint8_t>(c);
    if (lead == 0xC3 && at + 1 < text.size()) {
      const auto low = static_cast<std::uint8_t>(text[++at]);
      if (low == 0x9F) plain += 's';  // sharp s: two
      c = low >= 0x80 && low < 0xC0 ? kBare[low - 0x80U] : '_';
    } else if (lead >= 0x80) {
      c = lead >= 0xC0 ? '_' : '\0';  // another character: one gap for all of its bytes
    }
    if (c == '\0') continue;
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    const bool gap = std::string_view(" ()[]{}.,:/*-_\t").find(c) != std::string_view::npos;
    if (!gap) plain += c;
    else if (!plain.empty() && plain.back() != '_') plain += '_';
  }
  while (!plain.empty() && plain.back() == '_') plain.pop_back();
  return plain;
}

}  // namespace fairlead
