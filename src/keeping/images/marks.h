// SPDX-License-Identifier: Apache-2.0
// What readers set on a run by hand, kept beside its file: DATA/images/ab/HASH.marks, one line a version, the newest last.
// Lines are added and never changed; each holds the SHA-256 of the line before. What the marks are is not known here.
#pragma once

#include <filesystem>
#include <mutex>
#include <string>
#include <string_view>

#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

struct KeptMarks {
  int version = 0;            // from 1; 0: nobody set anything yet
  Instant recorded;           // by the clock of whoever keeps them
  std::string by, device;     // who set them, and on what
  std::string text;           // one line, as it was given
};

// Safe to call from several threads; one process at a time, as everything in the data folder.
class MarksStore {
 public:
  explicit MarksStore(const std::filesystem::path& data) : images_(data / "images") {}

  // Errors: no hash; the disk; a file whose last whole line is not one of these.
  Result<KeptMarks> Latest(std::string_view hash);
  // The next version, on the disk when this returns; its number is `after` and one more; `marks.version` is not looked at.
  // Errors: another version than `after` is the newest (`Outdated` tells); a name or text that fits no line; the disk.
  Result<KeptMarks> Add(std::string_view hash, int after, const KeptMarks& marks);

 private:
  Result<KeptMarks> Read(std::string_view hash, std::string& line, std::uintmax_t& whole);
  std::filesystem::path Place(std::string_view hash) const;
  std::filesystem::path images_;
  std::mutex guard_;
};

// Is this the refusal of marks that rest on an older version?
bool Outdated(const Error& error);

}  // namespace fairlead
