// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/kept_bytes.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstring>
#include <iterator>
#include <limits>

namespace fairlead {
namespace {

constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

constexpr std::array<std::uint8_t, 256> LetterValues() {
  std::array<std::uint8_t, 256> values{};
  for (auto& value : values) value = 255;
  for (std::size_t i = 0; i < kLetters.size(); ++i) values[static_cast<std::uint8_t>(kLetters[i])] = static_cast<std::uint8_t>(i);
  return values;
}
constexpr auto kValues = LetterValues();

constexpr double kScale = 1000;
constexpr double kMostScaled = 1e12;
constexpr std::uint64_t kUnknown = 0, kRaw = 1;  // tags; an even number from 2 on is (thousandths + 1) doubled

}  // namespace

void BytesOut::Whole(std::uint64_t number) {
  for (; number >= 0x80; number >>= 7U) bytes_.push_back(static_cast<char>(number | 0x80U));
  bytes_.push_back(static_cast<char>(number));
}

void BytesOut::Raw(double number) {
  Whole(kRaw);
  char raw[sizeof number];
  std::memcpy(raw, &number, sizeof number);
  if constexpr (std::endian::native == std::endian::big) std::swap_ranges(raw, raw + 4, std::reverse_iterator(raw + 8));
  bytes_.append(raw, sizeof raw);
}

void BytesOut::Figure(double number) {
  if (std::isnan(number)) return Whole(kUnknown);
  const double scaled = std::round(kScale * number);
  if (scaled >= 0 && scaled < kMostScaled && !std::signbit(number) && scaled / kScale == number) return Whole(2 * (static_cast<std::uint64_t>(scaled) + 1));
  Raw(number);
}

void BytesOut::Figure(float number) {
  if (std::isnan(number)) return Whole(kUnknown);
  const double scaled = std::round(kScale * static_cast<double>(number));
  if (scaled >= 0 && scaled < kMostScaled && !std::signbit(number) && static_cast<float>(scaled / kScale) == number) return Whole(2 * (static_cast<std::uint64_t>(scaled) + 1));
  Raw(static_cast<double>(number));
}

std::string BytesOut::AsText() const {
  std::string text;
  text.reserve((bytes_.size() * 4 + 2) / 3);
  std::uint32_t held = 0;
  unsigned bits = 0;
  for (const char byte : bytes_) {
    held = (held << 8U) | static_cast<std::uint8_t>(byte), bits += 8;
    for (; bits >= 6; bits -= 6) text.push_back(kLetters[(held >> (bits - 6)) & 63U]);
  }
  if (bits > 0) text.push_back(kLetters[(held << (6 - bits)) & 63U]);
  return text;
}

BytesIn::BytesIn(std::string_view text) {
  bytes_.reserve(text.size() * 3 / 4);
  std::uint32_t held = 0;
  unsigned bits = 0;
  for (const char letter : text) {
    const std::uint8_t value = kValues[static_cast<std::uint8_t>(letter)];
    if (value == 255) {
      Fail();
      return;
    }
    held = (held << 6U) | value, bits += 6;
    if (bits >= 8) bytes_.push_back(static_cast<char>((held >> (bits - 8)) & 255U)), bits -= 8;
  }
}

std::uint64_t BytesIn::Whole() {
  std::uint64_t number = 0;
  for (unsigned shift = 0; shift < 64; shift += 7) {
    if (at_ >= bytes_.size()) break;
    const auto byte = static_cast<std::uint8_t>(bytes_[at_++]);
    number |= static_cast<std::uint64_t>(byte & 0x7FU) << shift;
    if (byte < 0x80) return number;
  }
  Fail();
  return 0;
}

std::uint64_t BytesIn::Whole(std::uint64_t most) {
  const std::uint64_t number = Whole();
  if (number <= most) return number;
  Fail();
  return 0;
}

// Of a tag that is no number of thousandths.
std::optional<double> BytesIn::Raw(std::uint64_t tag) {
  if (tag == kUnknown || failed_) return std::numeric_limits<double>::quiet_NaN();
  if (tag % 2 == 0) return std::nullopt;
  double number = std::numeric_limits<double>::quiet_NaN();
  if (tag != kRaw || left() < sizeof number) {
    Fail();
    return number;
  }
  char raw[sizeof number];
  std::memcpy(raw, bytes_.data() + at_, sizeof raw);
  if constexpr (std::endian::native == std::endian::big) std::swap_ranges(raw, raw + 4, std::reverse_iterator(raw + 8));
  std::memcpy(&number, raw, sizeof number);
  at_ += sizeof number;
  return number;
}

double BytesIn::Figure() {
  const std::uint64_t tag = Whole();
  return Raw(tag).value_or(static_cast<double>(tag / 2 - 1) / kScale);
}

float BytesIn::FloatFigure() {
  const std::uint64_t tag = Whole();
  return static_cast<float>(Raw(tag).value_or(static_cast<double>(tag / 2 - 1) / kScale));
}

std::string_view BytesIn::Text() {
  const std::uint64_t size = Whole();
  if (size > left()) {
    Fail();
    return {};
  }
  at_ += size;
  return std::string_view(bytes_).substr(at_ - size, size);
}

}  // namespace fairlead
