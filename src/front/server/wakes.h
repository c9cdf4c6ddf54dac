// SPDX-License-Identifier: Apache-2.0
// Cautions that begin or end by time alone: followers are told at that instant, although nobody wrote. The instant comes
// from the cautions themselves (`holds_until`); what is looked at here is only whether it has passed.
#pragma once

#include <map>
#include <mutex>
#include <optional>
#include <string>

#include "front/server/events.h"
#include "front/server/practice.h"
#include "measure/instant.h"

namespace fairlead {

// The first instant after `now` at which the cautions of a run change with no entry; none if they do not.
std::optional<Instant> NextWake(const State& state, const Knowledge& lab, Instant now);

class Wakes {
 public:
  Wakes(Practice& practice, Events& events) : practice_(practice), events_(events) {}
  // Something was written there: its instant is to be found anew. Of the lab: everybody's.
  void Wrote(const std::string& case_id);
  // Tells the followers of every case whose instant has passed.
  void Look(Instant now);

 private:
  std::optional<Instant> Next(const std::string& case_id, Instant now);

  Practice& practice_;
  Events& events_;
  std::mutex mutex_;
  std::map<std::string, std::optional<Instant>> next_;  // guarded by mutex_; a case that is not here is to be looked at
};

}  // namespace fairlead
