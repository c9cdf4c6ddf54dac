// SPDX-License-Identifier: Apache-2.0
#include "keeping/journal/folder.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <cstring>
#include <string>
#include <system_error>

namespace fairlead {
namespace {

std::string SystemText(int code) { return std::generic_category().message(code); }

class HeldLock : public FolderLock {
 public:
  explicit HeldLock(int descriptor) : descriptor_(descriptor) {}
  ~HeldLock() override { close(descriptor_); }
  HeldLock(const HeldLock&) = delete;
  HeldLock& operator=(const HeldLock&) = delete;

 private:
  int descriptor_;
};

// The owner's pid as it wrote it; empty if it has not yet.
std::string OwnerOf(int descriptor) {
  std::array<char, 32> text{};
  const ssize_t got = pread(descriptor, text.data(), text.size(), 0);
  std::string owner(text.data(), got > 0 ? static_cast<std::size_t>(got) : 0);
  owner.erase(std::min(owner.find('\n'), owner.size()));
  return owner;
}

Error Taken(const std::filesystem::path& folder, const std::string& owner) {
  const std::string who = owner.empty() ? "another process" : "process " + owner;
  return {"this data folder is in use by " + who, folder.string(),
          "use the one that runs, or stop it first (" + (owner.empty() ? std::string("look for a running fairlead") : "kill " + owner) + ")",
          Fault::kOutside};
}

}  // namespace

Result<std::unique_ptr<FolderLock>> LockFolder(const std::filesystem::path& folder) {
  std::error_code failure;
  if (std::filesystem::create_directories(folder, failure))
    std::filesystem::permissions(folder, std::filesystem::perms::owner_all, failure);
  if (failure) return Error{"the data folder cannot be made: " + failure.message(), folder.string(), "choose another folder", Fault::kOutside};
  const std::string file = (folder / "lock").string();
  const int descriptor = open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (descriptor < 0)
    return Error{"the lock cannot be opened: " + SystemText(errno), file, "check who may write in this folder", Fault::kOutside};
  auto lock = std::make_unique<HeldLock>(descriptor);
  if (flock(descriptor, LOCK_EX | LOCK_NB) != 0) return Taken(folder, OwnerOf(descriptor));
  // The pid only helps a person; the lock holds without it, on a full disk too.
  const std::string pid = std::to_string(getpid()) + "\n";
  const bool noted = ftruncate(descriptor, 0) == 0 && pwrite(descriptor, pid.data(), pid.size(), 0) > 0;
  static_cast<void>(noted);
  return std::unique_ptr<FolderLock>(std::move(lock));
}

bool Ballast::There() const {
  std::error_code failure;
  return bytes == 0 || (std::filesystem::file_size(file, failure) == bytes && !failure);
}

bool Ballast::Restore() const {
  if (There()) return true;
  if (FreeBytes(file) < 2 * bytes) return false;
  const int descriptor = open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (descriptor < 0) return false;
  const bool whole = posix_fallocate(descriptor, 0, static_cast<off_t>(bytes)) == 0;
  close(descriptor);
  if (!whole) unlink(file.c_str());
  return whole;
}

bool Ballast::GiveUp() const { return bytes > 0 && unlink(file.c_str()) == 0; }

std::uint64_t FreeBytes(const std::filesystem::path& file) {
  struct statvfs disk {};
  if (statvfs(file.parent_path().c_str(), &disk) != 0) return 0;
  return std::uint64_t{disk.f_bavail} * disk.f_frsize;
}

}  // namespace fairlead
