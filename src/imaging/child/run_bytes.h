// SPDX-License-Identifier: Apache-2.0
// The frames file: what the child writes and the cache keeps. Layout and version: docs/frames-file.md.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include "imaging/dicom/run.h"
#include "measure/result.h"

namespace fairlead {

constexpr std::string_view kFramesMagic = "FLFRAME2";  // the last digit is the version
constexpr std::size_t kFramesFooter = 40;

// A run as bytes, without its hash.
std::vector<std::uint8_t> RunBytes(const Run& run);

// The bytes may be hostile. Errors: anything that a sound child would not have written.
Result<Run> RunFromBytes(std::span<const std::uint8_t> bytes);

// The end of a frames file.
struct FramesFooter {
  std::uint64_t frame_bytes = 0;  // all frames
  std::uint64_t run_bytes = 0;
  std::uint64_t frame_sum = 0;
  std::uint64_t run_sum = 0;
};
std::vector<std::uint8_t> FooterBytes(const FramesFooter& footer);
Result<FramesFooter> FooterFromBytes(std::span<const std::uint8_t> bytes);

// A sum that notices damage on the disk, not malice; fast enough for every frame.
std::uint64_t SumOf(std::span<const std::uint8_t> bytes);

// The sum of all frames from the sums of each, in order.
std::uint64_t SumOfSums(std::span<const std::uint64_t> sums);

}  // namespace fairlead
