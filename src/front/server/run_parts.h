// SPDX-License-Identifier: Apache-2.0
// Parts of the run's panel as JSON. Each writes its own members into the object that is open.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "casebook/knowledge.h"
#include "casebook/run/run_state.h"
#include "front/server/json_text.h"
#include "reasoning/budget/anticoagulation.h"
#include "reasoning/budget/budget.h"
#include "reasoning/caution/caution.h"
#include "reasoning/caution/gate.h"

namespace fairlead {

void WriteTime(JsonText& json, std::string_view name, std::optional<Instant> at);      // null if there is none
void WriteNumber(JsonText& json, std::string_view name, std::optional<double> number);

void WriteInBody(JsonText& json, const RunState& run);
void WriteTotals(JsonText& json, const RunState& run);
void WriteBudgets(JsonText& json, const RunBudgets& budgets, const RunPatient& patient);
void WriteAnticoagulation(JsonText& json, const Anticoagulation& held, const RunState& run);
void WriteLooks(JsonText& json, const RunState& run);
void WriteTroubles(JsonText& json, const RunState& run);
void WriteCautions(JsonText& json, const Cautions& cautions);
void WriteChanges(JsonText& json, const std::vector<Relevelled>& changes, const Knowledge& lab);
void WriteGates(JsonText& json, const RunState& run, const RunPatient& patient, Instant now);

// The lab's limits and rules; defaults where it has none.
Result<RunLimits> LimitsOf(const Knowledge& lab);
Result<std::vector<Relevelled>> ChangesOf(const Knowledge& lab);

}  // namespace fairlead
