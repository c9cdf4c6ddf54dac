// SPDX-License-Identifier: Apache-2.0
// What the child tells its parent while it works, through a pipe: progress, and at the end how it went. The parent takes
// every byte as hostile.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "measure/result.h"

namespace fairlead {

// Descriptors of the child, after the standard streams.
constexpr int kFileDescriptor = 3, kOutputDescriptor = 4, kReportDescriptor = 5;

// What is wanted of the file, in the child's environment.
enum class Wanted { kFrames, kDose };
constexpr const char* kWantedSetting = "FAIRLEAD_WANTED";

// Messages: 'P' and two numbers of 4 bytes; 'E' and three texts, each with its length in 2 bytes; 'D'.
std::vector<std::uint8_t> ProgressMessage(int done, int all);
std::vector<std::uint8_t> ErrorMessage(const Error& error);
std::vector<std::uint8_t> DoneMessage();

// Puts the messages together as they come in pieces.
class ReportReader {
 public:
  void Add(std::span<const std::uint8_t> bytes);
  bool done() const { return done_; }
  const std::optional<Error>& error() const { return error_; }
  int frames_done() const { return frames_done_; }
  int frames() const { return frames_; }

 private:
  bool TakeOne();
  bool TakeError();
  std::vector<std::uint8_t> waiting_;
  bool done_ = false, broken_ = false;
  std::optional<Error> error_;
  int frames_done_ = 0, frames_ = 0;
};

}  // namespace fairlead
