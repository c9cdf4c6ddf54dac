// SPDX-License-Identifier: Apache-2.0
#include "keeping/images/cache.h"

#include <fcntl.h>
#include <sys/stat.h>

#include <algorithm>
#include <system_error>
#include <utility>
#include <vector>

#include "keeping/images/digest.h"

namespace fairlead {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostOpen = 64;  // mapped at the same time; chosen

struct Kept {
  fs::path path;
  fs::file_time_type used;
  std::size_t bytes = 0;
};

std::vector<Kept> ListOf(const fs::path& folder) {
  std::vector<Kept> list;
  std::error_code fault;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, fault)) {
    if (!IsHash(entry.path().filename().string())) continue;
    const auto bytes = entry.file_size(fault);
    const auto used = entry.last_write_time(fault);
    if (!fault) list.push_back({entry.path(), used, static_cast<std::size_t>(bytes)});
  }
  std::ranges::sort(list, [](const Kept& a, const Kept& b) { return a.used < b.used; });
  return list;
}

}  // namespace

std::shared_ptr<const CachedRun> FramesCache::Find(const std::string& hash) {
  {
    const std::lock_guard lock(guard_);
    if (const auto found = open_.find(hash); found != open_.end()) return found->second;
  }
  const fs::path path = folder_ / hash;
  const Descriptor file(open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (!file.ok()) return nullptr;
  Result<Run> run = ReadFramesFile(file.get());
  if (!run) return nullptr;
  const auto mapped = MappedFile::Map(file.get());
  if (!mapped) return nullptr;
  run->hash = hash;
  // The time of last use is kept as the file's time.
  utimensat(AT_FDCWD, path.c_str(), nullptr, 0);
  auto cached = std::make_shared<const CachedRun>(CachedRun{std::move(*run), *mapped});
  Remember(hash, cached);
  return cached;
}

Result<std::shared_ptr<const CachedRun>> FramesCache::Put(const std::string& hash, TemporaryFile file, Run run) {
  const auto mapped = MappedFile::Map(file.fd());
  if (!mapped) return mapped.error();
  run.hash = hash;
  if (Status kept = file.Keep(folder_ / hash, false); !kept) return kept.error();
  auto cached = std::make_shared<const CachedRun>(CachedRun{std::move(run), *mapped});
  Remember(hash, cached);
  Trim(hash);
  return cached;
}

void FramesCache::Remember(const std::string& hash, const std::shared_ptr<const CachedRun>& cached) {
  const std::lock_guard lock(guard_);
  if (open_.size() >= kMostOpen) open_.erase(open_.begin());
  open_[hash] = cached;
}

void FramesCache::Trim(const std::string& keep) {
  const std::vector<Kept> list = ListOf(folder_);
  std::size_t bytes = 0;
  for (const Kept& kept : list) bytes += kept.bytes;
  for (const Kept& kept : list) {
    if (bytes <= most_bytes_) return;
    const std::string hash = kept.path.filename().string();
    if (hash == keep) continue;
    std::error_code fault;
    fs::remove(kept.path, fault);
    bytes -= kept.bytes;
    const std::lock_guard lock(guard_);
    open_.erase(hash);
  }
}

}  // namespace fairlead
