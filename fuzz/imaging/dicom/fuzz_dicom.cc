// SPDX-License-Identifier: Apache-2.0
// The reader of runs on any bytes: it must not crash, hang or serve a frame of another size than it says. The JPEG codecs
// are left out: they are not ours, not instrumented, and run in a child. Our own for lossless JPEG is in.
#include <cstdint>
#include <cstdlib>
#include <span>

#include "imaging/dicom/elements.h"
#include "imaging/dicom/header.h"
#include "imaging/dicom/pixels.h"
#include "imaging/dicom/read.h"
#include "imaging/dicom/run_json.h"
#include "imaging/dicom/syntax.h"

using namespace fairlead;

namespace {

// Frames of lossless JPEG by our own decoder alone.
void TryLossless(std::span<const std::uint8_t> file, const ReadLimits& limits) {
  const Result<DicomFile> dicom = ParseDicom(file);
  if (!dicom) return;
  const Result<Header> header = HeaderFrom(*dicom, limits);
  if (!header) return;
  const Result<FrameTable> table = LocateFrames(*dicom->pixels, *header, Codec::kJpeg);
  if (!table) return;
  for (const FramePieces& pieces : table->frames) {
    const std::optional<StoredFrame> frame = LosslessFrame(*header, pieces);
    if (frame && frame->bytes.size() != StoredFrameBytes(header->run, header->layout)) std::abort();
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::span file(data, size);
  const ReadLimits limits{std::size_t{2} << 20, std::size_t{1} << 20, 1};
  const Result<Run> header = ReadHeader(file, limits);
  if (!header) {
    if (header.error().what.empty()) std::abort();
    return 0;
  }
  const Codec codec = CodecOf(header->transfer_syntax_uid);
  if (codec == Codec::kJpeg) TryLossless(file, limits);
  if (codec == Codec::kJpeg || codec == Codec::kJpegLs) return 0;
  const std::size_t frame_bytes = FrameBytes(*header);
  const auto sink = [&](int frame, std::span<const std::uint8_t> bytes) -> Status {
    if (frame < 0 || frame >= header->frames || bytes.size() != frame_bytes) std::abort();
    return Done{};
  };
  const Result<Run> run = ReadRun(file, sink, limits, {}, {});
  if (run && RunJson(*run).empty()) std::abort();
  return 0;
}
