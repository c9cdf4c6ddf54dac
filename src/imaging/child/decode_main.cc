// SPDX-License-Identifier: Apache-2.0
// The child: maps the file, encloses itself, decodes, writes frames and description, reports.
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <mutex>
#include <new>
#include <cstdlib>
#include <string_view>
#include <thread>
#include <vector>

#include "imaging/child/decode.h"
#include "imaging/child/report.h"
#include "imaging/child/run_bytes.h"
#include "imaging/child/sandbox.h"
#include "imaging/dicom/read.h"
#include "imaging/dosereport/report_bytes.h"

namespace fairlead {
namespace {

bool WriteAll(int fd, std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t written = write(fd, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    bytes = bytes.subspan(static_cast<std::size_t>(written));
  }
  return true;
}

Status WriteAt(std::size_t at, std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t written = pwrite(kOutputDescriptor, bytes.data(), bytes.size(), static_cast<off_t>(at));
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return Error{"the decoded frames could not be written", "", "see that there is room on the disk", Fault::kOutside};
    bytes = bytes.subspan(static_cast<std::size_t>(written));
    at += static_cast<std::size_t>(written);
  }
  return Done{};
}

std::size_t Setting(const char* name, std::size_t otherwise) {
  const char* text = std::getenv(name);
  if (text == nullptr) return otherwise;
  const std::string_view digits(text);
  std::size_t value = 0;
  const auto [end, fault] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  return fault == std::errc{} && end == digits.data() + digits.size() ? value : otherwise;
}

Result<std::span<const std::uint8_t>> MapFile() {
  struct stat about {};
  if (fstat(kFileDescriptor, &about) != 0 || about.st_size <= 0) return Error{"the file is empty", "", "choose another file"};
  const auto size = static_cast<std::size_t>(about.st_size);
  void* bytes = mmap(nullptr, size, PROT_READ, MAP_PRIVATE, kFileDescriptor, 0);
  if (bytes == MAP_FAILED) return Error{"the file could not be opened for decoding", "", "try again", Fault::kOutside};
  return std::span(static_cast<const std::uint8_t*>(bytes), size);
}

constexpr std::size_t kDescriptionRoom = std::size_t{64} << 20;  // beside the frames: lists of a million frames

Status ReadDose(std::span<const std::uint8_t> file) {
  Result<DoseReport> report = ReadDoseReport(file);
  if (!report) return report.error();
  return WriteAt(0, ReportBytes(*report));
}

Status DecodeAll() {
  const Result<std::span<const std::uint8_t>> file = MapFile();
  if (!file) return file.error();
  constexpr std::size_t kGiB = std::size_t{1} << 30;
  constexpr int kThreads = 2;
  ReadLimits limits;
  limits.served_bytes = Setting("FAIRLEAD_SERVED_BYTES", kGiB);
  limits.threads = std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, kThreads);
  const Fence fence{Setting("FAIRLEAD_MEMORY_BYTES", kGiB) + file->size(), limits.served_bytes + kDescriptionRoom,
                    static_cast<unsigned>(Setting("FAIRLEAD_CPU_SECONDS", 40))};
  if (Status enclosed = EncloseSelf(fence); !enclosed) return enclosed;
  if (Setting(kWantedSetting, 0) == static_cast<std::size_t>(Wanted::kDose)) return ReadDose(*file);
  std::vector<std::uint64_t> sums;
  std::mutex guard;
  const auto sink = [&](int frame, std::span<const std::uint8_t> bytes) -> Status {
    const std::uint64_t sum = SumOf(bytes);
    {
      const std::lock_guard lock(guard);
      sums.resize(std::max(sums.size(), static_cast<std::size_t>(frame) + 1));
      sums[static_cast<std::size_t>(frame)] = sum;
    }
    return WriteAt(static_cast<std::size_t>(frame) * bytes.size(), bytes);
  };
  Result<Run> run = ReadRun(*file, sink, limits, {}, [](int done, int all) { WriteAll(kReportDescriptor, ProgressMessage(done, all)); });
  if (!run) return run.error();
  const std::vector<std::uint8_t> description = RunBytes(*run);
  const std::size_t frame_bytes = FrameBytes(*run) * static_cast<std::size_t>(run->frames);
  if (Status wrote = WriteAt(frame_bytes, description); !wrote) return wrote;
  return WriteAt(frame_bytes + description.size(), FooterBytes({frame_bytes, description.size(), SumOfSums(sums), SumOf(description)}));
}

Status DecodeGuarded() {
  try {
    return DecodeAll();
  } catch (const std::bad_alloc&) {
    return Error{"reading this file needs more memory than it may have", "", "export a shorter or smaller run"};
  } catch (const std::exception&) {
    return Error{"this file could not be read", "", "export or copy the file again"};
  }
}

}  // namespace

int DecodeMain() {
  const Status done = DecodeGuarded();
  const bool told = WriteAll(kReportDescriptor, done ? DoneMessage() : ErrorMessage(done.error()));
  // Without running destructors: whatever a codec left behind is not touched again.
  _exit(done && told ? 0 : 1);
}

}  // namespace fairlead
