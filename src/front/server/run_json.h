// SPDX-License-Identifier: Apache-2.0
// The run on the wire: the grammar of the log as data, and the panel that the board shows.
#pragma once

#include <optional>
#include <string>

#include "casebook/fold.h"
#include "casebook/knowledge.h"
#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

// {"verbs": [{verb, also, group, side, says, example, usage, fields: [...]}]} of docs/wire.md.
std::string GrammarJson();

// Run of docs/wire.md at `now`: attempts, devices, totals, budgets, cautions, gates, drills. `state` is a fold of now or of
// a past; `lab` the knowledge of that day. Errors: the lab's limits or rules cannot be read.
struct RunPanel {
  std::string json;
  std::optional<Instant> holds_until;  // from then on it says something else, with no entry
};
Result<RunPanel> RunPanelOf(const State& state, const Knowledge& lab, Instant now);

}  // namespace fairlead
