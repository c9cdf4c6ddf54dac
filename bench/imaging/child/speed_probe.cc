// SPDX-License-Identifier: Apache-2.0
// speed_probe FILE TINY   one JSON object: how long a child takes for the whole file, to its first frame, and to start and
// end alone (for the tiny file); and how long the same decoding takes in this process.
#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <cstdio>
#include <span>
#include <string_view>

#include "imaging/child/decode.h"
#include "imaging/dicom/read.h"

namespace {

using namespace fairlead;
using Clock = std::chrono::steady_clock;

double Since(Clock::time_point start) { return std::chrono::duration<double, std::milli>(Clock::now() - start).count(); }

double StartAlone(const char* tiny) {
  const Descriptor file(open(tiny, O_RDONLY | O_CLOEXEC));
  const auto start = Clock::now();
  const auto decoded = DecodeInChild(file.get(), {}, {}, {}, {});
  return decoded ? Since(start) : 0.0;
}

double InProcess(int fd) {
  struct stat about {};
  if (fstat(fd, &about) != 0) return 0.0;
  const auto size = static_cast<std::size_t>(about.st_size);
  const void* bytes = mmap(nullptr, size, PROT_READ, MAP_PRIVATE, fd, 0);
  if (bytes == MAP_FAILED) return 0.0;
  const auto start = Clock::now();
  std::atomic<std::size_t> served{0};
  const auto sink = [&](int, std::span<const std::uint8_t> frame) -> Status {
    served += frame.size();
    return Done{};
  };
  const auto run = ReadRun({static_cast<const std::uint8_t*>(bytes), size}, sink, {}, {}, {});
  return run ? Since(start) : 0.0;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc > 1 && std::string_view(argv[1]) == "_decode") return DecodeMain();
  if (argc != 3) return 2;
  const Descriptor file(open(argv[1], O_RDONLY | O_CLOEXEC));
  double first = 0.0;
  const auto start = Clock::now();
  const auto decoded = DecodeInChild(file.get(), {}, {}, {}, [&](int done, int) {
    if (done > 0 && first == 0.0) first = Since(start);
  });
  const double all = Since(start);
  if (!decoded) return 1;
  const double alone = StartAlone(argv[2]), inside = InProcess(file.get());
  std::printf("{\"child_ms\": %.3f, \"first_ms\": %.3f, \"start_ms\": %.3f, \"in_process_ms\": %.3f}\n", all, first, alone, inside);
  return 0;
}
