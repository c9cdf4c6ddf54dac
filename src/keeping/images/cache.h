// SPDX-License-Identifier: Apache-2.0
// The frames on disk, one file a run, the longest unused deleted first. Everything here can be made anew.
#pragma once

#include <cstddef>
#include <filesystem>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

#include "imaging/dicom/run.h"
#include "keeping/images/files.h"

namespace fairlead {

struct CachedRun {
  Run run;
  std::shared_ptr<const MappedFile> frames;
};

// Safe to call from several threads.
class FramesCache {
 public:
  FramesCache(std::filesystem::path folder, std::size_t most_bytes) : folder_(std::move(folder)), most_bytes_(most_bytes) {}

  const std::filesystem::path& folder() const { return folder_; }

  // Nothing if the file is missing or damaged.
  std::shared_ptr<const CachedRun> Find(const std::string& hash);

  // Takes the decoded frames under `hash`, and deletes others until the cache is within its size.
  Result<std::shared_ptr<const CachedRun>> Put(const std::string& hash, TemporaryFile file, Run run);

 private:
  void Remember(const std::string& hash, const std::shared_ptr<const CachedRun>& cached);
  void Trim(const std::string& keep);

  std::filesystem::path folder_;
  std::size_t most_bytes_;
  std::mutex guard_;
  std::map<std::string, std::shared_ptr<const CachedRun>> open_;
};

}  // namespace fairlead
