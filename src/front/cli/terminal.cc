// SPDX-License-Identifier: Apache-2.0
#include "front/cli/terminal.h"

#include <signal.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <thread>

namespace fairlead {
namespace {

constexpr std::size_t kLongestText = 16 * 1024 * 1024;

// Characters of UTF-8 text.
std::size_t WidthOf(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xc0) != 0x80; }));
}

class SignalWatch : public Interrupt {
 public:
  SignalWatch() {
    ::sigemptyset(&set_);
    ::sigaddset(&set_, SIGINT);
    ::sigaddset(&set_, SIGTERM);
    ::pthread_sigmask(SIG_BLOCK, &set_, &before_);
    watch_ = std::jthread([this](const std::stop_token& ended) {
      const timespec moment{0, 100'000'000};
      while (!ended.stop_requested()) {
        if (::sigtimedwait(&set_, nullptr, &moment) > 0) source_.request_stop();
      }
    });
  }
  ~SignalWatch() override {
    watch_.request_stop();
    watch_.join();
    ::pthread_sigmask(SIG_SETMASK, &before_, nullptr);
  }
  std::stop_token token() const override { return source_.get_token(); }

 private:
  sigset_t set_{}, before_{};
  std::stop_source source_;
  std::jthread watch_;
};

}  // namespace

std::string Table(const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()));
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], WidthOf(row[i]));
  }
  std::string text;
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < row.size(); ++i) {
      text += row[i];
      if (i + 1 < row.size()) text.append(widths[i] - WidthOf(row[i]) + 2, ' ');
    }
    text += '\n';
  }
  return text;
}

void Print(std::string_view text) {
  std::fwrite(text.data(), 1, text.size(), stdout);
  if (!text.ends_with('\n')) std::fputc('\n', stdout);
  std::fflush(stdout);
}

int Fail(const Error& error) {
  std::fprintf(stderr, "fairlead: %s\n", Sentence(error).c_str());
  switch (error.fault) {
    case Fault::kInput: return 1;
    case Fault::kUsage: return 2;
    case Fault::kOutside: return 3;
  }
  return 3;
}

std::unique_ptr<Interrupt> TakeInterrupts() { return std::make_unique<SignalWatch>(); }

Result<std::string> ReadText(const std::string& path) {
  const bool standard = path == "-";
  std::FILE* file = standard ? stdin : std::fopen(path.c_str(), "rb");
  if (file == nullptr) {
    return Error{std::string("the file cannot be read: ") + std::strerror(errno), path, "check its name and rights",
                 errno == EIO ? Fault::kOutside : Fault::kInput};
  }
  std::string text;
  std::array<char, 65536> piece{};
  std::size_t n = 0;
  while ((n = std::fread(piece.data(), 1, piece.size(), file)) > 0 && text.size() <= kLongestText) {
    text.append(piece.data(), n);
  }
  const bool failed = std::ferror(file) != 0;
  if (!standard) std::fclose(file);
  if (failed) return Error{"the file cannot be read", path, "check that it is a file", Fault::kInput};
  if (text.size() > kLongestText) return Error{"the file is larger than 16 MiB", path, "give a smaller one"};
  return text;
}

}  // namespace fairlead
