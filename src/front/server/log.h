// SPDX-License-Identifier: Apache-2.0
// One line an event on standard error: time, what, ids and figures. Never a patient's data, a title, a note or the name
// of a file.
#pragma once

#include <mutex>
#include <string>
#include <string_view>

namespace fairlead {

class Log {
 public:
  virtual ~Log() = default;
  virtual void Write(std::string_view line) = 0;  // without a line end; from any thread
};

// Each line with the time before it, to standard error.
class ErrorStreamLog : public Log {
 public:
  void Write(std::string_view line) override;

 private:
  std::mutex mutex_;
};

class NoLog : public Log {
 public:
  void Write(std::string_view) override {}
};

}  // namespace fairlead
