// SPDX-License-Identifier: Apache-2.0
#include "keeping/images/files.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <system_error>
#include <utility>

namespace fairlead {

Error DiskError(const char* what, const std::filesystem::path& where) {
  const int code = errno;
  const bool full = code == ENOSPC || code == EDQUOT;
  return {std::string(what) + ": " + std::generic_category().message(code), where.string(),
          full ? "make room on the disk and try again" : "see that the data folder can be written", Fault::kOutside};
}

Result<TemporaryFile> TemporaryFile::Make(const std::filesystem::path& folder) {
  std::string name = (folder / "XXXXXX.part").string();
  constexpr int kSuffix = 5;  // ".part"
  Descriptor file(mkostemps(name.data(), kSuffix, O_CLOEXEC));
  if (!file.ok()) return DiskError("no file could be made", folder);
  return TemporaryFile(std::move(file), name);
}

TemporaryFile& TemporaryFile::operator=(TemporaryFile&& other) noexcept {
  if (this != &other) {
    Drop();
    file_ = std::move(other.file_);
    path_ = std::exchange(other.path_, {});
  }
  return *this;
}

void TemporaryFile::Drop() {
  if (!path_.empty() && file_.ok()) unlink(path_.c_str());
  path_.clear();
}

Status TemporaryFile::Write(std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t written = write(file_.get(), bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return DiskError("the file could not be stored", path_.parent_path());
    bytes = bytes.subspan(static_cast<std::size_t>(written));
  }
  return Done{};
}

Result<Descriptor> TemporaryFile::Again() const {
  Descriptor again(open(path_.c_str(), O_RDWR | O_CLOEXEC));
  if (!again.ok()) return DiskError("the file could not be opened", path_);
  return again;
}

Status TemporaryFile::Keep(const std::filesystem::path& target, bool durable) {
  if (durable && fsync(file_.get()) != 0) return DiskError("the file could not be stored", target);
  if (rename(path_.c_str(), target.c_str()) != 0) return DiskError("the file could not be stored", target);
  path_.clear();
  if (!durable) return Done{};
  const Descriptor folder(open(target.parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (!folder.ok() || fsync(folder.get()) != 0) return DiskError("the file could not be stored", target);
  return Done{};
}

Result<std::shared_ptr<const MappedFile>> MappedFile::Map(int fd) {
  struct stat about {};
  if (fstat(fd, &about) != 0) return DiskError("a file could not be read", {});
  const auto size = static_cast<std::size_t>(about.st_size);
  if (size == 0) return Error{"a file is empty", "", "import the run again", Fault::kOutside};
  void* bytes = mmap(nullptr, size, PROT_READ, MAP_SHARED, fd, 0);
  if (bytes == MAP_FAILED) return DiskError("a file could not be read", {});
  return std::shared_ptr<const MappedFile>(std::make_shared<MappedFile>(std::span(static_cast<const std::uint8_t*>(bytes), size)));
}

MappedFile::~MappedFile() {
  // The system wants a pointer without const; nothing is written through it.
  munmap(const_cast<std::uint8_t*>(bytes_.data()), bytes_.size());
}

}  // namespace fairlead
