// SPDX-License-Identifier: Apache-2.0
// The store of runs: each file once, under the SHA-256 of its bytes, and beside it a cache of its decoded frames that
// may be deleted at any time. DATA/images/ab/ab12...dcm (or .png) and DATA/frames/ab12... ; no name from outside ever
// becomes a path.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <span>
#include <stop_token>
#include <string>
#include <string_view>

#include "imaging/child/decode.h"
#include "imaging/dicom/run.h"
#include "imaging/dosereport/report.h"
#include "measure/result.h"

namespace fairlead {

struct ImageStoreSettings {
  ChildLimits child;
  std::size_t file_bytes = std::size_t{1} << 30;   // largest file taken in
  std::size_t cache_bytes = std::size_t{4} << 30;  // frames kept on disk; the longest unused go first
};

struct Imported {
  std::string hash;    // SHA-256, 64 small hex digits
  bool again = false;  // the same bytes were here already
  Run run;             // with hash
};

// Served bytes of some frames, alive as long as this is.
struct FramesView {
  std::shared_ptr<const void> keep;
  std::span<const std::uint8_t> bytes;
};

struct ImportProgress {
  std::size_t bytes = 0;           // received
  int frames_done = 0, frames = 0;  // decoded; frames is 0 until the number is known
};
using ImportProgressFn = std::function<void(const ImportProgress&)>;

// A file that is coming in. Bytes go to a temporary file and through the hash; dropped without Finish, nothing stays.
class Upload {
 public:
  virtual ~Upload() = default;
  // Errors: the file is larger than the store takes; the disk is full or failed.
  virtual Status Add(std::span<const std::uint8_t> bytes) = 0;
  // Decodes the file in the child, then makes it durable under its hash. May take seconds: not for an event loop.
  // Errors: what DecodeInChild says (nothing is kept then); the disk.
  virtual Result<Imported> Finish(std::stop_token stop, const ImportProgressFn& progress) = 0;
};

// Safe to call from several threads.
class ImageStore {
 public:
  virtual ~ImageStore() = default;
  virtual Result<std::unique_ptr<Upload>> Begin() = 0;
  // The same for a file of the operator's own disk.
  virtual Result<Imported> Import(const std::filesystem::path& file, std::stop_token stop,
                                  const ImportProgressFn& progress) = 0;
  // Errors: no such image; the stored file is damaged.
  virtual Result<Run> Find(std::string_view hash) = 0;
  // Frames first to last, 0-based and inclusive. A missing or damaged cache is made anew from the stored file.
  // Errors: as Find; frames outside the run.
  virtual Result<FramesView> Frames(std::string_view hash, int first, int last) = 0;
};

// Makes the folders below `data` if they are missing and clears what an interrupted import left.
Result<std::unique_ptr<ImageStore>> OpenImageStore(const std::filesystem::path& data, ImageStoreSettings settings);

}  // namespace fairlead
