// SPDX-License-Identifier: Apache-2.0
#include "keeping/people/access.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <mutex>
#include <system_error>

namespace fairlead {
namespace {

constexpr int kKept = 9;

std::string OneWord(std::string_view text) {
  std::string word;
  for (const char c : text.substr(0, 120)) word += (c > ' ' && c < 127) ? c : '?';
  return word.empty() ? "-" : word;
}

class File : public AccessRecord {
 public:
  File(std::filesystem::path path, std::uint64_t largest) : path_(std::move(path)), largest_(largest) {}
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  ~File() override {
    if (fd_ >= 0) ::close(fd_);
  }

  bool Open() {
    fd_ = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    return fd_ >= 0;
  }

  void Write(Instant at, std::string_view who, std::string_view from, std::string_view did, std::string_view what) override {
    const std::string line =
        ToIso(at) + " " + OneWord(who) + " " + OneWord(from) + " " + OneWord(did) + " " + OneWord(what) + "\n";
    const std::lock_guard lock(mutex_);
    struct stat facts{};
    if (::fstat(fd_, &facts) == 0 && static_cast<std::uint64_t>(facts.st_size) + line.size() > largest_) Turn();
    [[maybe_unused]] const auto written = ::write(fd_, line.data(), line.size());  // a full disk must not stop the case
  }

 private:
  std::filesystem::path Numbered(int number) const { return path_.string() + "." + std::to_string(number); }
  void Turn() {
    std::error_code ignored;
    for (int number = kKept - 1; number > 0; --number) {
      std::filesystem::rename(Numbered(number), Numbered(number + 1), ignored);
    }
    std::filesystem::rename(path_, Numbered(1), ignored);
    ::close(fd_);
    Open();
  }

  const std::filesystem::path path_;
  const std::uint64_t largest_;
  std::mutex mutex_;
  int fd_ = -1;  // guarded by mutex_
};

}  // namespace

Result<std::unique_ptr<AccessRecord>> OpenAccessRecord(const std::filesystem::path& folder, std::uint64_t largest) {
  auto file = std::make_unique<File>(folder / "access.log", largest);
  if (!file->Open()) {
    return Error{"the access record cannot be written", "access.log in the data folder", "check the disk and the rights",
                 Fault::kOutside};
  }
  return std::unique_ptr<AccessRecord>(std::move(file));
}

}  // namespace fairlead
