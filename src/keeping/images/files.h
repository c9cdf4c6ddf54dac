// SPDX-License-Identifier: Apache-2.0
// Files of the store: made under a temporary name, made durable, then renamed into place.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>

#include "imaging/child/decode.h"
#include "measure/result.h"

namespace fairlead {

// A new file that disappears unless it is kept.
class TemporaryFile {
 public:
  // Errors: the folder cannot be written.
  static Result<TemporaryFile> Make(const std::filesystem::path& folder);
  TemporaryFile(TemporaryFile&& other) noexcept = default;
  TemporaryFile& operator=(TemporaryFile&& other) noexcept;
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;
  ~TemporaryFile() { Drop(); }

  int fd() const { return file_.get(); }
  Status Write(std::span<const std::uint8_t> bytes);
  // A second descriptor of the same file, for reading and writing.
  Result<Descriptor> Again() const;
  // Renames to `target`; with `durable` the bytes and the folder's entry are on the disk when this returns.
  Status Keep(const std::filesystem::path& target, bool durable);

 private:
  TemporaryFile(Descriptor file, std::filesystem::path path) : file_(std::move(file)), path_(std::move(path)) {}
  void Drop();
  Descriptor file_;
  std::filesystem::path path_;  // empty once kept
};

// A whole file mapped for reading; its bytes stay readable when the file is deleted.
class MappedFile {
 public:
  static Result<std::shared_ptr<const MappedFile>> Map(int fd);
  explicit MappedFile(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}
  MappedFile(const MappedFile&) = delete;
  MappedFile& operator=(const MappedFile&) = delete;
  ~MappedFile();
  std::span<const std::uint8_t> bytes() const { return bytes_; }

 private:
  std::span<const std::uint8_t> bytes_;
};

// What the operating system said last, as an error about `where`.
Error DiskError(const char* what, const std::filesystem::path& where);

}  // namespace fairlead
