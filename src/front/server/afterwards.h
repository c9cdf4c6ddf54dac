// SPDX-License-Identifier: Apache-2.0
// Work that nobody waits for: done on one thread, in the order in which it was put, after the answer has left.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>

#include "measure/result.h"

namespace fairlead {

class Afterwards {
 public:
  Afterwards() = default;
  Afterwards(const Afterwards&) = delete;
  Afterwards& operator=(const Afterwards&) = delete;
  ~Afterwards() { Finish(); }

  // Work that fails for what is outside (a disk that is full) stays at the head and is tried again every two seconds; for
  // another fault it would fail again, and is let go.
  void Put(std::function<Status()> work);
  // Waits until nothing is left, or until the head has failed since.
  void Settle();
  // Every piece that waits is tried once more, at once; then nothing is taken any longer. Safe to call twice.
  void Finish();

 private:
  void Work(const std::stop_token& stop);

  std::mutex mutex_;
  std::condition_variable_any changed_;
  std::deque<std::function<Status()>> waiting_;  // guarded by mutex_; the head is the one in work
  int failures_ = 0;                             // guarded by mutex_
  bool finished_ = false;                        // guarded by mutex_
  std::jthread worker_;                          // begun with the first piece
};

}  // namespace fairlead
