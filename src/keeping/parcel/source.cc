// SPDX-License-Identifier: Apache-2.0
// Where a parcel is read from. A folder is opened step by step without following a link, and each file must be a plain one.
#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <map>

#include "keeping/parcel/parcel.h"
#include "keeping/parcel/tar.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostNames = kMostParcelFiles + 8;

Error NotOfACase(const std::string& what, const std::string& where) { return {what, where, "choose the folder as it was exported"}; }

class FolderSource final : public ParcelSource {
 public:
  FolderSource(Descriptor folder, std::string path) : folder_(std::move(folder)), path_(std::move(path)) {}

  Result<std::vector<std::pair<std::string, std::uint64_t>>> List() override {
    std::vector<std::pair<std::string, std::uint64_t>> all;
    if (auto listed = ListOne(folder_.get(), "", all); !listed) return listed.error();
    std::ranges::sort(all);
    return all;
  }

  Status Read(const std::string& name, const std::function<Status(std::span<const std::uint8_t>)>& take) override {
    const std::size_t slash = name.find('/');
    Descriptor inside;
    if (slash != std::string::npos) {
      inside = Descriptor(openat(folder_.get(), name.substr(0, slash).c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC));
      if (!inside.ok()) return DiskError("a folder could not be opened", path_ + "/" + name.substr(0, slash));
    }
    const int at = slash == std::string::npos ? folder_.get() : inside.get();
    // Without O_NONBLOCK a pipe of that name would wait for ever.
    const Descriptor file(openat(at, name.substr(slash == std::string::npos ? 0 : slash + 1).c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
    if (!file.ok()) return DiskError("a file could not be opened", path_ + "/" + name);
    struct stat about {};
    if (fstat(file.get(), &about) != 0 || !S_ISREG(about.st_mode)) return NotOfACase("this is no plain file", path_ + "/" + name);
    std::vector<std::uint8_t> piece(std::size_t{1} << 20);
    while (true) {
      const ssize_t got = read(file.get(), piece.data(), piece.size());
      if (got < 0 && errno == EINTR) continue;
      if (got < 0) return DiskError("a file could not be read", path_ + "/" + name);
      if (got == 0) return Done{};
      if (auto taken = take(std::span<const std::uint8_t>(piece).first(static_cast<std::size_t>(got))); !taken) return taken;
    }
  }

 private:
  Status ListOne(int folder, const std::string& prefix, std::vector<std::pair<std::string, std::uint64_t>>& all) {
    const int again = openat(folder, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    DIR* stream = again < 0 ? nullptr : fdopendir(again);
    if (stream == nullptr) return DiskError("the folder could not be read", path_);
    Status listed = Done{};
    while (const dirent* one = readdir(stream)) {
      const std::string name = one->d_name;
      if (name == "." || name == "..") continue;
      if (listed = Add(folder, prefix, name, all); !listed) break;
    }
    closedir(stream);
    return listed;
  }
  Status Add(int folder, const std::string& prefix, const std::string& name, std::vector<std::pair<std::string, std::uint64_t>>& all) {
    struct stat about {};
    if (fstatat(folder, name.c_str(), &about, AT_SYMLINK_NOFOLLOW) != 0) return DiskError("the folder could not be read", path_);
    if (all.size() >= kMostNames) return NotOfACase("the folder holds too many files", path_);
    if (S_ISDIR(about.st_mode) && prefix.empty() && name == "images") {
      const Descriptor inside(openat(folder, name.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC));
      if (!inside.ok()) return DiskError("the folder could not be read", path_);
      return ListOne(inside.get(), "images/", all);
    }
    if (!S_ISREG(about.st_mode)) return NotOfACase(S_ISLNK(about.st_mode) ? "the folder holds a link" : "the folder holds something that is no plain file", path_);
    all.emplace_back(prefix + name, static_cast<std::uint64_t>(about.st_size));
    return Done{};
  }

  Descriptor folder_;
  std::string path_;
};

class ArchiveSource final : public ParcelSource {
 public:
  ArchiveSource(std::shared_ptr<const void> keep, std::span<const std::uint8_t> bytes, std::vector<TarMember> members) : keep_(std::move(keep)), bytes_(bytes), members_(std::move(members)) {}
  Result<std::vector<std::pair<std::string, std::uint64_t>>> List() override {
    std::vector<std::pair<std::string, std::uint64_t>> all;
    for (const TarMember& member : members_) all.emplace_back(member.name, member.bytes);
    std::ranges::sort(all);
    return all;
  }
  Status Read(const std::string& name, const std::function<Status(std::span<const std::uint8_t>)>& take) override {
    const auto member = std::ranges::find(members_, name, &TarMember::name);
    if (member == members_.end()) return NotOfACase("the archive does not hold it", name);
    return take(bytes_.subspan(member->offset, member->bytes));
  }

 private:
  std::shared_ptr<const void> keep_;
  std::span<const std::uint8_t> bytes_;
  std::vector<TarMember> members_;
};

}  // namespace

Result<std::unique_ptr<ParcelSource>> OpenArchive(std::shared_ptr<const void> keep, std::span<const std::uint8_t> bytes) {
  auto members = ReadTar(bytes, kMostNames);
  if (!members) return members.error();
  return std::unique_ptr<ParcelSource>(std::make_unique<ArchiveSource>(std::move(keep), bytes, std::move(*members)));
}

Result<std::unique_ptr<ParcelSource>> OpenParcel(const std::filesystem::path& path) {
  Descriptor opened(open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC));
  if (!opened.ok()) return Error{"there is no such folder or file, or it cannot be read", path.string(), "check its name and rights"};
  struct stat about {};
  if (fstat(opened.get(), &about) != 0) return DiskError("it could not be read", path);
  if (S_ISDIR(about.st_mode)) return std::unique_ptr<ParcelSource>(std::make_unique<FolderSource>(std::move(opened), path.string()));
  if (!S_ISREG(about.st_mode) || about.st_size == 0) return NotOfACase("this is neither a folder nor an archive", path.string());
  auto mapped = MappedFile::Map(opened.get());
  if (!mapped) return mapped.error();
  const auto bytes = (*mapped)->bytes();
  auto source = OpenArchive(*mapped, bytes);
  if (!source) return Within(path.string(), source.error());
  return source;
}

}  // namespace fairlead
