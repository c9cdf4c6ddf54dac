// SPDX-License-Identifier: Apache-2.0
// The parent's side: starts the child, listens, stops it when it is too slow or no longer wanted, and trusts nothing.
#include "imaging/child/decode.h"

#include <fcntl.h>
#include <linux/close_range.h>
#include <poll.h>
#include <signal.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <thread>
#include <utility>
#include <vector>

#include "imaging/child/dose.h"
#include "imaging/child/report.h"
#include "imaging/child/run_bytes.h"
#include "imaging/dosereport/report_bytes.h"

namespace fairlead {

Descriptor& Descriptor::operator=(Descriptor&& other) noexcept {
  if (this != &other) {
    Close();
    fd_ = other.Release();
  }
  return *this;
}

int Descriptor::Release() { return std::exchange(fd_, -1); }

void Descriptor::Close() {
  if (fd_ >= 0) close(std::exchange(fd_, -1));
}

namespace {

using Clock = std::chrono::steady_clock;

Error Outside(std::string what) { return {std::move(what), "", "try again", Fault::kOutside}; }

// Everything that the new process needs is made before fork: after it only plain system calls are safe, because other
// threads of the parent may hold any lock.
struct Launch {
  std::string program;
  std::array<std::string, 4> settings;
  int file = -1, output = -1, report = -1;
};

[[noreturn]] void BecomeChild(const Launch& launch, char* const* arguments, char* const* environment) {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  sigset_t none;
  sigemptyset(&none);
  sigprocmask(SIG_SETMASK, &none, nullptr);
  constexpr int kSafe = 10;  // above the numbers that are assigned below
  const int file = fcntl(launch.file, F_DUPFD, kSafe), output = fcntl(launch.output, F_DUPFD, kSafe), report = fcntl(launch.report, F_DUPFD, kSafe);
  const int nothing = open("/dev/null", O_RDWR);
  bool ready = file >= 0 && output >= 0 && report >= 0 && nothing >= 0;
  ready = ready && dup2(nothing, 0) >= 0 && dup2(nothing, 1) >= 0 && dup2(nothing, 2) >= 0;
  ready = ready && dup2(file, kFileDescriptor) >= 0 && dup2(output, kOutputDescriptor) >= 0 && dup2(report, kReportDescriptor) >= 0;
  ready = ready && syscall(SYS_close_range, static_cast<unsigned>(kReportDescriptor) + 1, ~0U, 0U) == 0;
  if (ready) execve(launch.program.c_str(), arguments, environment);
  constexpr int kNotStarted = 127;
  _exit(kNotStarted);
}

pid_t Start(Launch& launch) {
  std::string name = "fairlead", command = "_decode";
  std::array<char*, 3> arguments{name.data(), command.data(), nullptr};
  std::array<char*, 5> environment{launch.settings[0].data(), launch.settings[1].data(), launch.settings[2].data(), launch.settings[3].data(), nullptr};
  const pid_t child = fork();
  if (child == 0) BecomeChild(launch, arguments.data(), environment.data());
  return child;
}

// Ends the child if it still runs, and always collects it.
class Child {
 public:
  explicit Child(pid_t pid) : pid_(pid) {}
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;
  ~Child() {
    if (pid_ > 0) Kill();
  }
  void Kill() {
    kill(pid_, SIGKILL);
    Collect(0);
  }
  // True when it has ended; `status` is valid then.
  bool Collect(int options) {
    pid_t got = 0;
    do got = waitpid(pid_, &status_, options);
    while (got < 0 && errno == EINTR);
    if (got == 0) return false;
    pid_ = -1;
    return true;
  }
  bool ended() const { return pid_ < 0; }
  int status() const { return status_; }

 private:
  pid_t pid_;
  int status_ = 0;
};

enum class Outcome { kEnded, kStopped, kTooSlow };

// Reads the report until its end, then waits for the process.
Outcome Listen(int report, Child& child, Clock::time_point deadline, const std::stop_token& stop, const DecodeProgress& progress, ReportReader& reader) {
  bool open = true;
  int told = -1;
  while (true) {
    if (stop.stop_requested()) return Outcome::kStopped;
    if (Clock::now() >= deadline) return Outcome::kTooSlow;
    constexpr int kLookUpMs = 20;
    if (open) {
      pollfd waiting{report, POLLIN, 0};
      if (poll(&waiting, 1, kLookUpMs) <= 0) continue;
      std::array<std::uint8_t, 4096> bytes{};
      const ssize_t got = read(report, bytes.data(), bytes.size());
      if (got < 0 && errno == EINTR) continue;
      open = got > 0;
      if (open) reader.Add(std::span(bytes).first(static_cast<std::size_t>(got)));
      if (progress && reader.frames_done() != told) progress(told = reader.frames_done(), reader.frames());
    } else {
      if (child.Collect(WNOHANG)) return Outcome::kEnded;
      std::this_thread::sleep_for(std::chrono::microseconds(200));
    }
  }
}

Error Crashed(int status) {
  if (WIFSIGNALED(status) && (WTERMSIG(status) == SIGXCPU || WTERMSIG(status) == SIGKILL)) {
    return {"reading this file took more than it may", "", "export or copy the file again"};
  }
  if (WIFEXITED(status) && WEXITSTATUS(status) == 127) return Outside("the program that reads files could not be started");
  return {"this file makes its decoder fail; it is damaged", "", "export or copy the file again"};
}

Result<Descriptor> Output(Descriptor given) {
  if (given.ok()) return given;
  Descriptor made(memfd_create("frames", MFD_CLOEXEC));
  if (!made.ok()) return Outside("there is no memory for the frames");
  return made;
}

Status ReadAt(int fd, std::size_t at, std::span<std::uint8_t> into) {
  while (!into.empty()) {
    const ssize_t got = pread(fd, into.data(), into.size(), static_cast<off_t>(at));
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return Error{"the decoded frames could not be read", "frames file", "try again", Fault::kOutside};
    into = into.subspan(static_cast<std::size_t>(got));
    at += static_cast<std::size_t>(got);
  }
  return Done{};
}

// Starts the child and waits for its end.
Status RunChild(int file, int output, Wanted wanted, const ChildLimits& limits, const std::stop_token& stop, const DecodeProgress& progress) {
  // Opened anew for reading only, so that the child can change nothing.
  const Descriptor readable(open(("/proc/self/fd/" + std::to_string(file)).c_str(), O_RDONLY | O_CLOEXEC));
  std::array<int, 2> ends{-1, -1};
  if (!readable.ok() || pipe2(ends.data(), O_CLOEXEC) != 0) return Outside("the file could not be handed to its reader");
  const Descriptor report(ends[0]);
  Descriptor child_end(ends[1]);
  const auto setting = [](const char* name, std::size_t value) { return std::string(name) + "=" + std::to_string(value); };
  const auto cpu_seconds = static_cast<std::size_t>(2 * limits.wall.count() / 1000 + 2);  // two threads
  Launch launch{limits.program,
                {setting("FAIRLEAD_MEMORY_BYTES", limits.memory_bytes), setting("FAIRLEAD_SERVED_BYTES", limits.served_bytes),
                 setting("FAIRLEAD_CPU_SECONDS", cpu_seconds), setting(kWantedSetting, static_cast<std::size_t>(wanted))},
                readable.get(), output, child_end.get()};
  const auto deadline = Clock::now() + limits.wall;
  Child child(Start(launch));
  if (child.ended()) return Outside("the program that reads files could not be started");
  child_end.Close();
  ReportReader reader;
  switch (Listen(report.get(), child, deadline, stop, progress, reader)) {
    case Outcome::kStopped: return Error{"the import was stopped", "", "", Fault::kOutside};
    case Outcome::kTooSlow: return Error{"reading this file took more than " + std::to_string(limits.wall.count() / 1000) + " s", "", "export or copy the file again"};
    case Outcome::kEnded: break;
  }
  if (reader.error()) return *reader.error();
  if (!reader.done() || !WIFEXITED(child.status()) || WEXITSTATUS(child.status()) != 0) return Crashed(child.status());
  return Done{};
}

struct Described {
  Run run;
  FramesFooter footer;
};

Error Damaged() { return {"the decoded frames are damaged", "frames file", "import the run again", Fault::kOutside}; }

Result<Described> ReadDescription(int frames) {
  struct stat about {};
  if (fstat(frames, &about) != 0 || about.st_size < static_cast<off_t>(kFramesFooter)) return Damaged();
  const auto size = static_cast<std::size_t>(about.st_size);
  std::vector<std::uint8_t> end(kFramesFooter);
  if (Status read = ReadAt(frames, size - kFramesFooter, end); !read) return read.error();
  const Result<FramesFooter> footer = FooterFromBytes(end);
  if (!footer) return footer.error();
  constexpr std::size_t kMostDescription = std::size_t{64} << 20;
  if (footer->run_bytes > kMostDescription || footer->frame_bytes > size || footer->frame_bytes + footer->run_bytes + kFramesFooter != size) return Damaged();
  std::vector<std::uint8_t> bytes(footer->run_bytes);
  if (Status read = ReadAt(frames, footer->frame_bytes, bytes); !read) return read.error();
  if (SumOf(bytes) != footer->run_sum) return Damaged();
  Result<Run> run = RunFromBytes(bytes);
  if (!run) return run.error();
  if (FrameBytes(*run) * static_cast<std::size_t>(run->frames) != footer->frame_bytes) return Damaged();
  return Described{std::move(*run), *footer};
}

}  // namespace

Result<Run> ReadFramesFile(int frames) {
  Result<Described> described = ReadDescription(frames);
  if (!described) return described.error();
  std::vector<std::uint8_t> frame(FrameBytes(described->run));
  std::vector<std::uint64_t> sums;
  for (int i = 0; i < described->run.frames; ++i) {
    if (Status read = ReadAt(frames, static_cast<std::size_t>(i) * frame.size(), frame); !read) return read.error();
    sums.push_back(SumOf(frame));
  }
  if (SumOfSums(sums) != described->footer.frame_sum) return Damaged();
  return std::move(described->run);
}

Result<DecodedRun> DecodeInChild(int file, Descriptor output, const ChildLimits& limits, std::stop_token stop, const DecodeProgress& progress) {
  Result<Descriptor> frames = Output(std::move(output));
  if (!frames) return frames.error();
  if (Status ran = RunChild(file, frames->get(), Wanted::kFrames, limits, stop, progress); !ran) return ran.error();
  Result<Described> described = ReadDescription(frames->get());
  if (!described) return described.error();
  return DecodedRun{std::move(described->run), std::move(*frames)};
}

Result<DoseReport> ReadDoseInChild(int file, const ChildLimits& limits, std::stop_token stop) {
  Result<Descriptor> output = Output({});
  if (!output) return output.error();
  if (Status ran = RunChild(file, output->get(), Wanted::kDose, limits, stop, {}); !ran) return ran.error();
  struct stat about {};
  constexpr off_t kMostAnswer = off_t{64} << 20;  // 20,000 events take less than 10 MiB
  if (fstat(output->get(), &about) != 0 || about.st_size <= 0 || about.st_size > kMostAnswer) return Outside("the dose report's reader gave no answer");
  std::vector<std::uint8_t> bytes(static_cast<std::size_t>(about.st_size));
  if (Status read = ReadAt(output->get(), 0, bytes); !read) return read.error();
  return ReportFromBytes(bytes);
}

}  // namespace fairlead
