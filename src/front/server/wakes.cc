// SPDX-License-Identifier: Apache-2.0
#include "front/server/wakes.h"

#include "casebook/run/run_state.h"
#include "front/server/run_parts.h"
#include "reasoning/caution/caution.h"

namespace fairlead {

std::optional<Instant> NextWake(const State& state, const Knowledge& lab, Instant now) {
  if (state.run.empty()) return std::nullopt;
  const auto limits = LimitsOf(lab);
  const auto changes = ChangesOf(lab);
  if (!limits.ok() || !changes.ok()) return std::nullopt;  // the panel says so
  return CautionsOf(state, *limits, *changes, now).holds_until;
}

void Wakes::Wrote(const std::string& case_id) {
  const std::lock_guard lock(mutex_);
  if (case_id == kLabCase) next_.clear();
  else next_.erase(case_id);
}

std::optional<Instant> Wakes::Next(const std::string& case_id, Instant now) {
  const auto state = practice_.StateOf(case_id, std::nullopt);
  const auto lab = practice_.Lab();
  if (!state.ok() || !lab.ok()) return now + Duration::Minutes(1);  // a disk that fails now may be read later
  return NextWake(*state, **lab, now);
}

void Wakes::Look(Instant now) {
  for (const std::string& case_id : events_.Followed()) {
    if (case_id == kLabCase) continue;
    std::unique_lock lock(mutex_);
    const auto held = next_.find(case_id);
    const bool known = held != next_.end();
    const std::optional<Instant> passed = known && held->second && *held->second <= now ? held->second : std::nullopt;
    if (known && !passed) continue;
    next_[case_id] = std::nullopt;  // an entry written while the next is found takes it out again
    lock.unlock();
    const std::optional<Instant> next = Next(case_id, now);
    lock.lock();
    if (const auto still = next_.find(case_id); still != next_.end()) still->second = next;
    lock.unlock();
    if (passed) events_.TellTime(case_id, *passed);
  }
}

}  // namespace fairlead
