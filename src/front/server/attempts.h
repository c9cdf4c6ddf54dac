// SPDX-License-Identifier: Apache-2.0
// How often somebody may try a password. Failures are counted by address and by name: five are free, then each doubles
// the wait. A name alone never waits more than half a minute, so that nobody can keep a recorder out of a case by
// failing in that recorder's name; an address may wait a quarter of an hour.
#pragma once

#include <chrono>
#include <cstddef>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>

#include "measure/instant.h"

namespace fairlead {

class Attempts {
 public:
  // Seconds to wait before this attempt may be made; nothing if it may be made now. It counts as failed until Succeeded.
  std::optional<int> Begin(std::string_view name, std::string_view address, Instant now);
  void Succeeded(std::string_view name, std::string_view address);
  std::size_t remembered() const;

 private:
  struct Failures {
    int count = 0;
    Instant last;
  };
  int WaitOf(const std::string& key, int longest_s, Instant now) const;
  void Count(const std::string& key, Instant now);

  mutable std::mutex mutex_;
  std::map<std::string, Failures> failures_;  // guarded by mutex_
};

}  // namespace fairlead
