// SPDX-License-Identifier: Apache-2.0
#include "front/server/target.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>

namespace fairlead {
namespace {

int HexDigit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

std::optional<std::string> Decoded(std::string_view text, bool plus_is_space) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    char c = text[i];
    if (c == '%') {
      if (i + 2 >= text.size()) return std::nullopt;
      const int high = HexDigit(text[i + 1]);
      const int low = HexDigit(text[i + 2]);
      if (high < 0 || low < 0) return std::nullopt;
      c = static_cast<char>(high * 16 + low);
      i += 2;
    } else if (c == '+' && plus_is_space) {
      c = ' ';
    }
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) return std::nullopt;
    out += c;
  }
  if (!IsUtf8(out)) return std::nullopt;
  return out;
}

}  // namespace

std::optional<Target> ParseTarget(std::string_view text) {
  if (text.empty() || text.front() != '/') return std::nullopt;
  if (text.find('#') != std::string_view::npos) return std::nullopt;
  const std::size_t mark = text.find('?');
  auto path = Decoded(text.substr(0, mark), false);
  if (!path) return std::nullopt;
  Target target{std::move(*path), {}};
  std::string_view rest = mark == std::string_view::npos ? std::string_view() : text.substr(mark + 1);
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find('&'), rest.size());
    const std::string_view pair = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (pair.empty()) continue;
    const std::size_t equals = std::min(pair.find('='), pair.size());
    auto name = Decoded(pair.substr(0, equals), true);
    auto value = Decoded(pair.substr(std::min(equals + 1, pair.size())), true);
    if (!name || !value) return std::nullopt;
    target.query.emplace_back(std::move(*name), std::move(*value));
  }
  return target;
}

std::vector<std::string_view> Pieces(std::string_view path) {
  std::vector<std::string_view> pieces;
  if (!path.empty() && path.front() == '/') path.remove_prefix(1);
  while (true) {
    const std::size_t end = path.find('/');
    pieces.push_back(path.substr(0, end));
    if (end == std::string_view::npos) return pieces;
    path.remove_prefix(end + 1);
  }
}

bool IsUtf8(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  for (std::size_t i = 0; i < text.size();) {
    const std::uint8_t first = byte(i);
    if (first < 0x80) {
      ++i;
      continue;
    }
    const std::size_t length = first >= 0xc2 && first <= 0xdf ? 2 : (first & 0xf0) == 0xe0 ? 3
                               : first >= 0xf0 && first <= 0xf4 ? 4 : 0;
    if (length == 0 || i + length > text.size()) return false;
    for (std::size_t k = 1; k < length; ++k) {
      if ((byte(i + k) & 0xc0) != 0x80) return false;
    }
    const std::uint8_t second = byte(i + 1);
    if (first == 0xe0 && second < 0xa0) return false;  // overlong
    if (first == 0xed && second > 0x9f) return false;  // surrogate
    if (first == 0xf0 && second < 0x90) return false;  // overlong
    if (first == 0xf4 && second > 0x8f) return false;  // above U+10FFFF
    i += length;
  }
  return true;
}

}  // namespace fairlead
