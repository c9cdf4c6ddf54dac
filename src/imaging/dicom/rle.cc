// SPDX-License-Identifier: Apache-2.0
// RLE (DICOM PS3.5 annex G). Our own: the widespread decoder ends with a signal on some mutated files.
#include <array>
#include <cstring>

#include "imaging/dicom/pixels.h"

namespace fairlead {
namespace {

constexpr std::size_t kHeader = 64;

Error Broken(const char* what) { return {what, "Pixel Data, RLE", "export or copy the file again"}; }

std::size_t Little32(Bytes bytes, std::size_t at) {
  return bytes[at] | static_cast<std::size_t>(bytes[at + 1]) << 8 | static_cast<std::size_t>(bytes[at + 2]) << 16 |
         static_cast<std::size_t>(bytes[at + 3]) << 24;
}

// Unpacks one segment: every value goes to `out[start]`, `out[start + step]`, ... until `count` are written.
bool Unpack(Bytes segment, std::vector<std::uint8_t>& out, std::size_t start, std::size_t step, std::size_t count) {
  std::size_t at = 0, written = 0;
  std::uint8_t* to = out.data() + start;
  while (written < count && at < segment.size()) {
    const std::uint8_t code = segment[at++];
    if (code == 128) continue;
    std::size_t length = code < 128 ? code + 1U : 257U - code;
    if (length > count - written) length = count - written;  // a run may reach over the end into padding
    if (code < 128) {
      if (length > segment.size() - at) return false;
      if (step == 1) std::memcpy(to + written, segment.data() + at, length);
      else for (std::size_t i = 0; i < length; ++i) to[(written + i) * step] = segment[at + i];
      at += length;
    } else {
      if (at >= segment.size()) return false;
      const std::uint8_t value = segment[at++];
      if (step == 1) std::memset(to + written, value, length);
      else for (std::size_t i = 0; i < length; ++i) to[(written + i) * step] = value;
    }
    written += length;
  }
  return written == count;
}

}  // namespace

Result<StoredFrame> RleFrame(const Header& header, const FramePieces& from) {
  std::vector<std::uint8_t> joined;
  Bytes bytes = from.pieces.front();
  if (from.pieces.size() > 1) {
    for (const Bytes piece : from.pieces) joined.insert(joined.end(), piece.begin(), piece.end());
    bytes = joined;
  }
  if (bytes.size() < kHeader) return Broken("a compressed frame is shorter than its header");
  const auto size = static_cast<std::size_t>(header.layout.allocated / 8), samples = static_cast<std::size_t>(header.layout.samples);
  const std::size_t segments = Little32(bytes, 0);
  if (segments != size * samples) return Broken("a compressed frame has the wrong number of segments");
  const std::size_t pixels = static_cast<std::size_t>(header.run.rows) * static_cast<std::size_t>(header.run.columns);
  // Two bytes unpack to at most 128: less cannot fill the frame, and nothing is allocated for it.
  if (pixels * segments / 64 > bytes.size()) return Broken("a compressed frame is too short for its picture");
  StoredFrame frame;
  frame.bytes.resize(pixels * segments);
  for (std::size_t s = 0; s < segments; ++s) {
    const std::size_t begin = Little32(bytes, 4 + 4 * s);
    const std::size_t end = s + 1 < segments ? Little32(bytes, 8 + 4 * s) : bytes.size();
    if (begin < kHeader || begin > end || end > bytes.size()) return Broken("a segment of a compressed frame lies outside it");
    // Segments hold one byte of one sample each, the high byte first.
    const std::size_t sample = s / size, byte = size - 1 - s % size;
    if (!Unpack(bytes.subspan(begin, end - begin), frame.bytes, sample * size + byte, samples * size, pixels)) {
      return Broken("a segment of a compressed frame ends early");
    }
  }
  return frame;
}

}  // namespace fairlead
