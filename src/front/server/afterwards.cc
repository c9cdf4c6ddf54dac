// SPDX-License-Identifier: Apache-2.0
#include "front/server/afterwards.h"

#include <chrono>
#include <utility>

namespace fairlead {
namespace {

constexpr std::chrono::seconds kAgain{2};  // chosen

}  // namespace

void Afterwards::Put(std::function<Status()> work) {
  {
    const std::lock_guard lock(mutex_);
    if (finished_) return;
    waiting_.push_back(std::move(work));
    if (!worker_.joinable()) worker_ = std::jthread([this](const std::stop_token& stop) { Work(stop); });
  }
  changed_.notify_all();
}

void Afterwards::Settle() {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [this] { return waiting_.empty() || failures_ > 0; });
}

void Afterwards::Finish() {
  {
    const std::lock_guard lock(mutex_);
    finished_ = true;
  }
  worker_.request_stop();
  changed_.notify_all();
  if (worker_.joinable()) worker_.join();
}

// After a stop every piece has its one try.
void Afterwards::Work(const std::stop_token& stop) {
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, stop, [this] { return !waiting_.empty(); });
    if (waiting_.empty()) return;  // only a stop wakes for nothing
    const std::function<Status()> work = waiting_.front();
    lock.unlock();
    const Status worked = work();
    const bool done = worked.ok() || worked.error().fault != Fault::kOutside;
    lock.lock();
    failures_ = done ? 0 : failures_ + 1;  // of the head
    if (done || stop.stop_requested()) waiting_.pop_front(), failures_ = 0;
    changed_.notify_all();
    if (!done && !stop.stop_requested()) changed_.wait_for(lock, stop, kAgain, [] { return false; });
  }
}

}  // namespace fairlead
