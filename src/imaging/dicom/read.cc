// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/read.h"

#include <algorithm>
#include <atomic>
#include <mutex>
#include <optional>
#include <thread>
#include <utility>
#include <vector>

#include "imaging/dicom/elements.h"
#include "imaging/dicom/header.h"
#include "imaging/dicom/picture.h"
#include "imaging/dicom/pixels.h"
#include "imaging/dicom/still.h"
#include "imaging/dicom/syntax.h"

namespace fairlead {
namespace {

Error Stopped() { return {"the import was stopped", "", "", Fault::kOutside}; }

struct Opened {
  Header header;
  FrameTable table;
  Codec codec = Codec::kNone;
  bool swap_words = false;
};

// A file that ends early gives the run that is there.
void CutToFrames(std::size_t frames, Run& run) {
  run.frames = static_cast<int>(frames);
  run.frame_ms.resize(std::min(run.frame_ms.size(), frames));
  run.frame_views.resize(std::min(run.frame_views.size(), frames));
  std::erase_if(run.r_wave_frames, [&](int frame) { return frame >= run.frames; });
  if (run.frames == 1) run.rate_hz = 0.0;
}

Result<Opened> Open(const DicomFile& file, const ReadLimits& limits) {
  Result<Header> header = HeaderFrom(file, limits);
  if (!header) return header.error();
  Opened opened{std::move(*header), {}, CodecOf(file.transfer_syntax), false};
  Result<FrameTable> table = LocateFrames(*file.pixels, opened.header, opened.codec);
  if (!table) return table.error();
  opened.table = std::move(*table);
  // Big-endian words: also 8-bit pixels that were packed two to a word.
  opened.swap_words = file.big_endian && (opened.header.layout.allocated == 16 || file.pixels->words);
  Run& run = opened.header.run;
  for (RunRemark& remark : opened.table.remarks) run.remarks.push_back(std::move(remark));
  if (opened.table.frames.size() < static_cast<std::size_t>(run.frames)) CutToFrames(opened.table.frames.size(), run);
  return opened;
}

Result<StoredFrame> Decode(const Opened& opened, const FramePieces& pieces) {
  switch (opened.codec) {
    case Codec::kNone: return PlainFrame(opened.header, pieces, opened.swap_words);
    case Codec::kRle: return RleFrame(opened.header, pieces);
    case Codec::kJpeg:
      if (std::optional<StoredFrame> frame = LosslessFrame(opened.header, pieces)) return std::move(*frame);
      if (std::optional<StoredFrame> frame = BaselineFrame(opened.header, pieces)) return std::move(*frame);
      return JpegFrame(opened.header, pieces);
    case Codec::kJpegLs: return JpegFrame(opened.header, pieces);
    case Codec::kJpeg2000: return Jpeg2000Frame(opened.header, pieces);
  }
  return Error{"unknown codec", "", ""};
}

// Frames are taken in order by whichever thread is free; the first error stops them all.
class FrameWork {
 public:
  FrameWork(const Opened& opened, const FrameSink& sink, std::stop_token stop, const FrameProgress& progress)
      : opened_(opened), sink_(sink), stop_(std::move(stop)), progress_(progress), gatherer_(opened.header.run) {}

  Status Run(int threads) {
    const int extra = std::min(threads, opened_.header.run.frames) - 1;
    std::vector<std::jthread> helpers;
    helpers.reserve(static_cast<std::size_t>(std::max(extra, 0)));
    for (int i = 0; i < extra; ++i) helpers.emplace_back([this] { Work(); });
    Work();
    helpers.clear();  // joins
    if (fault_) return *fault_;
    if (stop_.stop_requested()) return Stopped();
    return Done{};
  }

  const PictureGatherer& gatherer() const { return gatherer_; }

 private:
  void Work() {
    const int all = opened_.header.run.frames;
    for (int frame = next_++; frame < all && !failed_ && !stop_.stop_requested(); frame = next_++) {
      Status done = One(frame);
      const std::lock_guard lock(guard_);
      if (!done) {
        failed_ = true;
        if (!fault_) fault_ = Within("frame " + std::to_string(frame + 1), done.error());
        return;
      }
      if (progress_) progress_(++done_, all);
    }
  }

  Status One(int frame) {
    Result<StoredFrame> stored = Decode(opened_, opened_.table.frames[static_cast<std::size_t>(frame)]);
    if (!stored) return stored.error();
    const std::vector<std::uint8_t> served = ServedFrame(opened_.header, std::move(*stored));
    if (served.size() != FrameBytes(opened_.header.run)) return Error{"a frame has an unexpected size", "Pixel Data", "export or copy the file again"};
    gatherer_.Add(frame, served);
    return sink_(frame, served);
  }

  const Opened& opened_;
  const FrameSink& sink_;
  std::stop_token stop_;
  const FrameProgress& progress_;
  PictureGatherer gatherer_;
  std::atomic<int> next_{0};
  std::atomic<bool> failed_{false};
  std::mutex guard_;
  int done_ = 0;
  std::optional<Error> fault_;
};

Result<Run> StillRun(std::span<const std::uint8_t> file, const FrameSink& sink, const ReadLimits& limits, const FrameProgress& progress) {
  Result<Still> still = ReadPng(file, limits);
  if (!still) return still.error();
  PictureGatherer gatherer(still->run);
  gatherer.Add(0, still->bytes);
  if (Status taken = sink(0, still->bytes); !taken) return taken.error();
  if (progress) progress(1, 1);
  gatherer.Finish(still->run);
  return std::move(still->run);
}

}  // namespace

Result<Run> ReadRun(std::span<const std::uint8_t> file, const FrameSink& sink, const ReadLimits& limits, std::stop_token stop,
                    const FrameProgress& progress) {
  if (LooksLikePng(file)) return StillRun(file, sink, limits, progress);
  const Result<DicomFile> dicom = ParseDicom(file);
  if (!dicom) return dicom.error();
  Result<Opened> opened = Open(*dicom, limits);
  if (!opened) return opened.error();
  FrameWork work(*opened, sink, std::move(stop), progress);
  if (Status done = work.Run(limits.threads); !done) return done.error();
  work.gatherer().Finish(opened->header.run);
  return std::move(opened->header.run);
}

Result<Run> ReadHeader(std::span<const std::uint8_t> file, const ReadLimits& limits) {
  if (LooksLikePng(file)) {
    Result<Still> still = ReadPng(file, limits);
    if (!still) return still.error();
    return std::move(still->run);
  }
  const Result<DicomFile> dicom = ParseDicom(file);
  if (!dicom) return dicom.error();
  Result<Opened> opened = Open(*dicom, limits);
  if (!opened) return opened.error();
  return std::move(opened->header.run);
}

}  // namespace fairlead
