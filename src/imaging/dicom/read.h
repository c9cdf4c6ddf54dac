// SPDX-License-Identifier: Apache-2.0
// Bytes of a DICOM file or a PNG in, a run and its frames out, one frame at a time. Runs in the process that calls it:
// the server does not call it but starts a child (imaging/child), because the codecs are not ours.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <stop_token>

#include "imaging/dicom/run.h"
#include "measure/result.h"

namespace fairlead {

struct ReadLimits {
  std::size_t served_bytes = std::size_t{1} << 30;  // all frames together
  std::size_t frame_bytes = std::size_t{256} << 20;
  int threads = 2;                                  // that decode frames, 1 or more
};

// Takes the served bytes of frame `frame`; called once a frame, in any order, from several threads at once.
using FrameSink = std::function<Status(int frame, std::span<const std::uint8_t> bytes)>;

// Called with frames done of all frames, in increasing order, never from two threads at once.
using FrameProgress = std::function<void(int done, int all)>;

// The whole file in memory. Errors: not a DICOM file or PNG; a kind, transfer syntax or bit depth that is not read;
// a fault in the file; more than the limits; stopped.
Result<Run> ReadRun(std::span<const std::uint8_t> file, const FrameSink& sink, const ReadLimits& limits,
                    std::stop_token stop, const FrameProgress& progress);

// The header alone: everything that is known before a frame is decoded (no window from pixels, no filling, no spine).
Result<Run> ReadHeader(std::span<const std::uint8_t> file, const ReadLimits& limits);

}  // namespace fairlead
