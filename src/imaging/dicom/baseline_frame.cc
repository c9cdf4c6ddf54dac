// SPDX-License-Identifier: Apache-2.0
// Grey frames of baseline JPEG through libjpeg-turbo, which gives the bytes of the reference decoder several times as
// fast (its accurate integer transform; both are compared byte for byte in the tests). Whatever is not plain (colours,
// 12 bits, progressive, broken) is left to the general codec.
#include <turbojpeg.h>

#include <memory>

#include "imaging/dicom/pixels.h"

namespace fairlead {
namespace {

struct Destroy {
  void operator()(void* handle) const { tjDestroy(handle); }
};

// One a thread: making one costs as much as decoding a small frame.
tjhandle Decoder() {
  thread_local const std::unique_ptr<void, Destroy> decoder(tjInitDecompress());
  return decoder.get();
}

// Sequential Huffman coding of 8 bits and one component: frame headers C0 and C1 (ISO/IEC 10918-1 B.2.2).
bool IsPlain(Bytes stream) {
  std::size_t at = 2;
  while (at + 10 <= stream.size() && stream[at] == 0xFF) {
    const unsigned marker = stream[at + 1];
    if (marker == 0xC0 || marker == 0xC1) return stream[at + 4] == 8 && stream[at + 9] == 1;
    const bool table_or_note = marker == 0xC4 || marker == 0xDB || marker == 0xDD || (marker >= 0xE0 && marker <= 0xEF) || marker == 0xFE;
    if (!table_or_note) return false;
    at += 2 + (static_cast<std::size_t>(stream[at + 2]) << 8 | stream[at + 3]);
  }
  return false;
}

}  // namespace

std::optional<StoredFrame> BaselineFrame(const Header& header, const FramePieces& from) {
  if (header.layout.samples != 1 || header.layout.allocated != 8) return std::nullopt;
  std::vector<std::uint8_t> joined;
  Bytes stream = from.pieces.front();
  if (from.pieces.size() > 1) {
    for (const Bytes piece : from.pieces) joined.insert(joined.end(), piece.begin(), piece.end());
    stream = joined;
  }
  if (!IsPlain(stream)) return std::nullopt;
  const tjhandle decoder = Decoder();
  if (decoder == nullptr) return std::nullopt;
  int columns = 0, rows = 0, sampling = 0, colours = 0;
  const unsigned long length = stream.size();
  if (tjDecompressHeader3(decoder, stream.data(), length, &columns, &rows, &sampling, &colours) != 0) return std::nullopt;
  if (columns != header.run.columns || rows != header.run.rows || colours != TJCS_GRAY) return std::nullopt;
  StoredFrame frame;
  frame.bytes.resize(StoredFrameBytes(header.run, header.layout));
  // A warning (bits that end early) counts as a fault too.
  const int faults = tjDecompress2(decoder, stream.data(), length, frame.bytes.data(), columns, columns, rows, TJPF_GRAY, TJFLAG_ACCURATEDCT);
  if (faults != 0) return std::nullopt;
  return frame;
}

}  // namespace fairlead
