// SPDX-License-Identifier: Apache-2.0
// A typed event held against what the journal says of that moment: what it leaves open is filled where there is one
// answer, what contradicts the run is refused, what is likelier a slip is asked about.
#pragma once

#include <string>
#include <vector>

#include "casebook/fold.h"
#include "casebook/log/log_line.h"
#include "casebook/run_event.h"
#include "measure/result.h"

namespace fairlead {

struct LogQuestion {
  std::string what;    // "the total was 208 mL at 10:40"
  std::string to_do;   // "to correct it type: amend contrast =180"
  std::string amends;  // id of the entry that would be amended; empty if none
};

struct CheckedEvent {
  RunEvent event;                    // numbered, with its move said
  std::vector<LogQuestion> asks;     // write it only once these were answered
};

// `replaces` is the id of the entry that an amendment stands for, left out of what it is held against.
Result<CheckedEvent> CheckEvent(const State& whole, RunEvent event, Instant at, const LogRoom& room, const std::string& replaces = {});

// The tags in the body now, for completion.
std::vector<std::string> TagsInBody(const State& state);

// "10:42" by the lab's clock.
std::string ClockText(Instant at, Duration zone);

}  // namespace fairlead
