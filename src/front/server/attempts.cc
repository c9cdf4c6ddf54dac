// SPDX-License-Identifier: Apache-2.0
#include "front/server/attempts.h"

#include <algorithm>

namespace fairlead {
namespace {

constexpr int kFree = 5;                             // chosen
constexpr int kLongestOfName = 30, kLongestOfAddress = 900;  // seconds; chosen
constexpr std::int64_t kForgotten = 15 * 60'000;     // milliseconds after which a failure no longer counts; chosen
constexpr std::size_t kRemembered = 4096;            // names and addresses; chosen

std::string NameKey(std::string_view name) { return "n" + std::string(name.substr(0, 64)); }
std::string AddressKey(std::string_view address) { return "a" + std::string(address.substr(0, 64)); }

}  // namespace

int Attempts::WaitOf(const std::string& key, int longest_s, Instant now) const {
  const auto at = failures_.find(key);
  if (at == failures_.end() || at->second.count < kFree || now.ms - at->second.last.ms > kForgotten) return 0;
  const int wait = std::min(longest_s, 1 << std::min(10, at->second.count - kFree));
  return static_cast<int>(std::max<std::int64_t>(0, wait - (now.ms - at->second.last.ms) / 1000));
}

void Attempts::Count(const std::string& key, Instant now) {
  if (failures_.size() >= kRemembered && !failures_.contains(key)) {
    failures_.erase(std::min_element(failures_.begin(), failures_.end(),
                                     [](const auto& a, const auto& b) { return a.second.last < b.second.last; }));
  }
  Failures& failures = failures_[key];
  if (now.ms - failures.last.ms > kForgotten) failures.count = 0;
  ++failures.count;
  failures.last = now;
}

std::optional<int> Attempts::Begin(std::string_view name, std::string_view address, Instant now) {
  const std::lock_guard lock(mutex_);
  const int wait = std::max(WaitOf(NameKey(name), kLongestOfName, now), WaitOf(AddressKey(address), kLongestOfAddress, now));
  if (wait > 0) return wait;
  Count(NameKey(name), now);
  Count(AddressKey(address), now);
  return std::nullopt;
}

void Attempts::Succeeded(std::string_view name, std::string_view address) {
  const std::lock_guard lock(mutex_);
  failures_.erase(NameKey(name));
  // Of the address only this attempt is taken back: who has an account is not free to guess at the others.
  const auto at = failures_.find(AddressKey(address));
  if (at != failures_.end() && --at->second.count <= 0) failures_.erase(at);
}

std::size_t Attempts::remembered() const {
  const std::lock_guard lock(mutex_);
  return failures_.size();
}

}  // namespace fairlead
