// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/jpeg_lossless.h"

#include <array>
#include <bit>
#include <cstddef>
#include <cstdlib>

namespace fairlead {
namespace {

// Code lengths of the size categories 0 to 12: T.81 table K.3 (differences of luminance), continued to 12.
constexpr std::array<std::uint8_t, 13> kLengths{2, 3, 3, 3, 3, 3, 4, 5, 6, 7, 8, 9, 10};

struct Code {
  std::uint32_t bits = 0;
  int length = 0;
};

constexpr std::array<Code, 13> Codes() {
  std::array<Code, 13> codes{};
  std::uint32_t next = 0;
  int length = kLengths[0];
  for (std::size_t i = 0; i < codes.size(); ++i) {  // lengths never fall, so codes come in order (T.81 annex C)
    next <<= kLengths[i] - length;
    length = kLengths[i];
    codes[i] = {next++, length};
  }
  return codes;
}

class BitWriter {
 public:
  explicit BitWriter(std::vector<std::uint8_t>& out) : out_(out) {}
  void Put(std::uint32_t bits, int count) {
    held_ = (held_ << count) | bits;
    count_ += count;
    while (count_ >= 8) Byte(static_cast<std::uint8_t>((held_ >> (count_ -= 8)) & 0xFF));
  }
  void Finish() {
    if (count_ > 0) Put((1u << (8 - count_)) - 1, 8 - count_);
  }

 private:
  void Byte(std::uint8_t byte) {
    out_.push_back(byte);
    if (byte == 0xFF) out_.push_back(0);  // so that data never looks like a marker
  }
  std::vector<std::uint8_t>& out_;
  std::uint64_t held_ = 0;
  int count_ = 0;
};

void PutHeader(std::vector<std::uint8_t>& out, int rows, int columns, int bits) {
  const auto byte = [&out](int value) { out.push_back(static_cast<std::uint8_t>(value)); };
  const auto word = [&byte](int value) { byte(value >> 8), byte(value & 0xFF); };
  word(0xFFD8);                                                                           // start of image
  word(0xFFC3), word(11), byte(bits), word(rows), word(columns), byte(1), byte(1), byte(0x11), byte(0);  // lossless frame
  word(0xFFC4), word(2 + 17 + static_cast<int>(kLengths.size())), byte(0);                // the code table
  for (int length = 1; length <= 16; ++length) {
    int count = 0;
    for (const std::uint8_t each : kLengths) count += each == length;
    byte(count);
  }
  for (std::size_t i = 0; i < kLengths.size(); ++i) byte(static_cast<int>(i));
  word(0xFFDA), word(8), byte(1), byte(1), byte(0), byte(1), byte(0), byte(0);            // scan, selection value 1
}

}  // namespace

std::vector<std::uint8_t> JpegLosslessFrame(std::span<const std::uint16_t> pixels, int rows, int columns, int bits) {
  static constexpr std::array<Code, 13> kCodes = Codes();
  std::vector<std::uint8_t> out;
  out.reserve(pixels.size() * 3 / 2 + 64);
  PutHeader(out, rows, columns, bits);
  BitWriter writer(out);
  const auto width = static_cast<std::size_t>(columns);
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    // The first pixel of a row is told from the one above; the very first from the middle of the range.
    const int predicted = i == 0 ? 1 << (bits - 1) : i % width == 0 ? pixels[i - width] : pixels[i - 1];
    const int difference = pixels[i] - predicted;
    const int category = 32 - std::countl_zero(static_cast<std::uint32_t>(std::abs(difference)));
    const Code code = kCodes[static_cast<std::size_t>(category)];
    const auto extra = static_cast<std::uint32_t>(difference >= 0 ? difference : difference + (1 << category) - 1);
    writer.Put((code.bits << category) | extra, code.length + category);
  }
  writer.Finish();
  out.push_back(0xFF), out.push_back(0xD9);  // end of image
  return out;
}

}  // namespace fairlead
