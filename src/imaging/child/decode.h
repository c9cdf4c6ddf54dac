// SPDX-License-Identifier: Apache-2.0
// Foreign bytes are read in a process of their own: the program starts itself as `_decode` with the file and the
// output as open descriptors, no network, no other files, and limits on memory and time. Whatever a file does to a
// codec there, the parent gets one sentence.
#pragma once

#include <chrono>
#include <cstddef>
#include <functional>
#include <stop_token>
#include <string>

#include "imaging/dicom/run.h"
#include "measure/result.h"

namespace fairlead {

struct ChildLimits {
  std::string program = "/proc/self/exe";  // must call DecodeMain when its first argument is `_decode`
  std::chrono::milliseconds wall{20'000};
  std::size_t memory_bytes = std::size_t{1} << 30;  // address space
  std::size_t served_bytes = std::size_t{1} << 30;  // all frames together
};

// Owns an open file descriptor.
class Descriptor {
 public:
  Descriptor() = default;
  explicit Descriptor(int fd) : fd_(fd) {}
  Descriptor(Descriptor&& other) noexcept : fd_(other.Release()) {}
  Descriptor& operator=(Descriptor&& other) noexcept;
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() { Close(); }
  int get() const { return fd_; }
  bool ok() const { return fd_ >= 0; }
  int Release();
  void Close();

 private:
  int fd_ = -1;
};

// A run, and the file that holds its frames from offset 0, frame after frame (its layout: docs/frames-file.md).
struct DecodedRun {
  Run run;
  Descriptor frames;
};

// Called in the parent with frames done of all frames; frames come in any order.
using DecodeProgress = std::function<void(int done, int all)>;

// Decodes the file open at `file` (read from its start). The frames go to `output`, an empty file open for reading and
// writing which the caller names or unlinks, or to a shared memory file if `output` holds none.
// Errors: what ReadRun says; a signal, a limit, a stop, or a child that could not be started.
Result<DecodedRun> DecodeInChild(int file, Descriptor output, const ChildLimits& limits, std::stop_token stop,
                                 const DecodeProgress& progress);

// The run of a frames file that an earlier DecodeInChild wrote; checks its size, its sums and every number in it.
Result<Run> ReadFramesFile(int frames);

// The hidden subcommand `_decode`: returns the exit status. Call it first in main, before any thread or file is opened.
int DecodeMain();

}  // namespace fairlead
