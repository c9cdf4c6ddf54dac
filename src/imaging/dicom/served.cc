// SPDX-License-Identifier: Apache-2.0
// From a stored frame to a served one.
#include <algorithm>
#include <cmath>

#include "imaging/dicom/pixels.h"

namespace fairlead {
namespace {

std::uint8_t Clamped(double value) { return static_cast<std::uint8_t>(std::clamp(std::lround(value), 0L, 255L)); }

// PS3.3 C.7.6.3.1.2, ITU-R BT.601 full range.
void ToRgb(std::uint8_t* pixel) {
  const double y = pixel[0], cb = pixel[1] - 128.0, cr = pixel[2] - 128.0;
  pixel[0] = Clamped(y + 1.402 * cr);
  pixel[1] = Clamped(y - 0.344136 * cb - 0.714136 * cr);
  pixel[2] = Clamped(y + 1.772 * cb);
}

std::vector<std::uint8_t> Interleaved(const std::vector<std::uint8_t>& planes) {
  const std::size_t pixels = planes.size() / 3;
  std::vector<std::uint8_t> mixed(pixels * 3);
  for (std::size_t i = 0; i < pixels; ++i) {
    for (std::size_t c = 0; c < 3; ++c) mixed[3 * i + c] = planes[c * pixels + i];
  }
  return mixed;
}

std::vector<std::uint8_t> Coloured(const Palette& palette, const std::vector<std::uint8_t>& stored, int allocated) {
  const std::size_t step = static_cast<std::size_t>(allocated / 8), pixels = stored.size() / step;
  std::vector<std::uint8_t> rgb(pixels * 3);
  for (std::size_t i = 0; i < pixels; ++i) {
    const int value = step == 1 ? stored[i] : stored[2 * i] | stored[2 * i + 1] << 8;
    for (std::size_t c = 0; c < 3; ++c) {
      const std::vector<std::uint8_t>& channel = palette.channels[c];
      const int entry = std::clamp(value - palette.first, 0, static_cast<int>(channel.size()) - 1);
      rgb[3 * i + c] = channel[static_cast<std::size_t>(entry)];
    }
  }
  return rgb;
}

void KeepStoredBits(std::vector<std::uint8_t>& bytes, const PixelLayout& layout) {
  const int shift = layout.high_bit + 1 - layout.stored;
  const unsigned mask = (1U << layout.stored) - 1U;
  if (layout.stored == layout.allocated) return;
  if (layout.allocated == 8) {
    for (std::uint8_t& byte : bytes) byte = static_cast<std::uint8_t>(static_cast<unsigned>(byte) >> shift & mask);
    return;
  }
  for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
    const unsigned value = (static_cast<unsigned>(bytes[i]) | static_cast<unsigned>(bytes[i + 1]) << 8) >> shift & mask;
    bytes[i] = static_cast<std::uint8_t>(value & 0xFF);
    bytes[i + 1] = static_cast<std::uint8_t>(value >> 8);
  }
}

std::vector<std::uint8_t> Spread422(Bytes from) {
  std::vector<std::uint8_t> pixels;
  pixels.reserve(from.size() / 2 * 3);
  for (std::size_t i = 0; i + 4 <= from.size(); i += 4) {
    pixels.insert(pixels.end(), {from[i], from[i + 2], from[i + 3], from[i + 1], from[i + 2], from[i + 3]});
  }
  return pixels;
}

}  // namespace

StoredFrame PlainFrame(const Header& header, const FramePieces& from, bool swap_words) {
  const Bytes bytes = from.pieces.front();
  StoredFrame frame;
  frame.planar = header.layout.planar;
  frame.bytes.assign(bytes.begin(), bytes.end());
  if (swap_words) {
    for (std::size_t i = 0; i + 1 < frame.bytes.size(); i += 2) std::swap(frame.bytes[i], frame.bytes[i + 1]);
  }
  if (header.layout.photometric == "YBR_FULL_422") {
    frame.bytes = Spread422(frame.bytes);
    frame.bytes.resize(StoredFrameBytes(header.run, header.layout));
    frame.planar = false;
  }
  return frame;
}

std::vector<std::uint8_t> ServedFrame(const Header& header, StoredFrame stored) {
  const PixelLayout& layout = header.layout;
  KeepStoredBits(stored.bytes, layout);
  if (layout.palette) return Coloured(*layout.palette, stored.bytes, layout.allocated);
  if (layout.samples == 1) return std::move(stored.bytes);
  if (stored.planar) stored.bytes = Interleaved(stored.bytes);
  if (!stored.is_rgb && layout.photometric.starts_with("YBR_FULL")) {
    for (std::size_t i = 0; i + 2 < stored.bytes.size(); i += 3) ToRgb(stored.bytes.data() + i);
  }
  return std::move(stored.bytes);
}

}  // namespace fairlead
