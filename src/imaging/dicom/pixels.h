// SPDX-License-Identifier: Apache-2.0
// Where each frame's bytes lie in the file, and from a frame as stored to a frame as served.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "imaging/dicom/elements.h"
#include "imaging/dicom/header.h"
#include "imaging/dicom/syntax.h"
#include "measure/result.h"

namespace fairlead {

// The bytes of one frame: one piece if uncompressed, one fragment or more if encapsulated.
struct FramePieces {
  std::vector<Bytes> pieces;
};

struct FrameTable {
  std::vector<FramePieces> frames;  // the whole frames that are there: run.frames of them, or fewer if the file is cut
  std::vector<RunRemark> remarks;
};

// Errors: not one whole frame; fragments that cannot be told apart into frames.
Result<FrameTable> LocateFrames(const PixelElement& pixels, const Header& header, Codec codec);

// Bytes of a stored frame, before palettes.
std::size_t StoredFrameBytes(const Run& run, const PixelLayout& layout);

// A frame as the file stores it: little-endian, planes interleaved or not as the layout says.
struct StoredFrame {
  std::vector<std::uint8_t> bytes;
  bool planar = false;
  bool is_rgb = false;  // a codec has turned the colours into RGB already
};

// Uncompressed: a copy with the byte order put right. YBR_FULL_422 is spread to three samples.
StoredFrame PlainFrame(const Header& header, const FramePieces& from, bool swap_words);

// Errors: a header or a segment that does not fit the frame.
Result<StoredFrame> RleFrame(const Header& header, const FramePieces& from);

// Baseline, extended and lossless JPEG, JPEG-LS. Errors: a stream that is broken or does not fit the header.
Result<StoredFrame> JpegFrame(const Header& header, const FramePieces& from);

// The plain form of lossless JPEG, much faster; nothing if the stream is of another form or broken: ask JpegFrame then.
std::optional<StoredFrame> LosslessFrame(const Header& header, const FramePieces& from);

// Grey 8-bit baseline JPEG, byte for byte as JpegFrame and several times as fast; nothing as above.
std::optional<StoredFrame> BaselineFrame(const Header& header, const FramePieces& from);

// Errors: as JpegFrame.
Result<StoredFrame> Jpeg2000Frame(const Header& header, const FramePieces& from);

// Palette to RGB, YBR to RGB, planes interleaved, bits shifted down and masked: the bytes that are served.
std::vector<std::uint8_t> ServedFrame(const Header& header, StoredFrame stored);

}  // namespace fairlead
