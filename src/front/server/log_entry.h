// SPDX-License-Identifier: Apache-2.0
// A line of the log bar, held against a case's journal, into the entries that would be written.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "casebook/entry_json.h"
#include "casebook/fold.h"
#include "casebook/knowledge.h"
#include "casebook/log/log_line.h"
#include "casebook/run/run_check.h"
#include "measure/result.h"
#include "reasoning/kit/shelf.h"

namespace fairlead {

struct LogRequest {
  std::string text, by, device;
  std::optional<Instant> at;       // if the line has no @TIME
  std::optional<Instant> written;  // the writer's clock; else now
  std::string id;                  // of the first entry, so that it may be sent again; empty: a new one
};

struct LogPlan {
  std::vector<IncomingEntry> entries;  // one; of a withdrawal one for each version that stood
  std::string line;                    // as the log prints it: "wire a in w3 polymer"
  std::string says;                    // for a person: "withdrawn: act 285 s"
  std::vector<LogQuestion> asks;       // written only when confirmed
};

// An item of a gate or drill, and a rule that is accepted, must be known; a rule is accepted with a reason.
Status CheckKnown(const RunEvent& event);

// Entries that come ready made, held against the run as typed lines are, each with those before it: what contradicts the run
// is refused, nothing is asked. Entries that the state has already are passed over.
Status HoldAgainst(State state, std::span<const IncomingEntry> entries, const LogRoom& room);

// A device that the line names by kit: is looked up on `shelf` (FillFromShelf), if there is one. The invented shelf says
// nothing of a case that is not invented.
Result<LogPlan> PlanLog(const State& state, const LogRequest& request, const LogRoom& room, const Shelf* shelf = nullptr);

// How the room's console counts, from the lab's text "room": {"kerma_unit": "mGy", "area_unit": "Gycm2"}; and the zone of
// this computer's clock. Errors: a unit that is not known.
Result<LogRoom> RoomOf(const Knowledge& lab, Instant now, std::optional<Duration> zone);

}  // namespace fairlead
