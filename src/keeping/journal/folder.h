// SPDX-License-Identifier: Apache-2.0
// The data folder itself: who owns it, and the reserve of space for the last entries of a full disk.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>

#include "measure/result.h"

namespace fairlead {

// Held for as long as this lives; the system gives it up when the process dies, however it dies.
class FolderLock {
 public:
  virtual ~FolderLock() = default;
};

// Makes the folder (0700) if it is not there. Refused while another process holds it; its pid is named.
Result<std::unique_ptr<FolderLock>> LockFolder(const std::filesystem::path& folder);

// A file of so many bytes, really allocated. Given up when an entry would not fit on the disk otherwise.
struct Ballast {
  std::filesystem::path file;
  std::uint64_t bytes = 0;

  bool There() const;
  // Allocates it if it is not there and as much again stays free. False if there is not enough room.
  bool Restore() const;
  // True if there was one to give up.
  bool GiveUp() const;
};

// Bytes that this user may still write beside `file`.
std::uint64_t FreeBytes(const std::filesystem::path& file);

}  // namespace fairlead
