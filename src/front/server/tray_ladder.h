// SPDX-License-Identifier: Apache-2.0
// The tray of a case as its ladder stands: ways in the solver's order, and what each of them asks for that is not there.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "casebook/fold.h"
#include "casebook/knowledge.h"
#include "measure/instant.h"
#include "measure/result.h"
#include "reasoning/kit/shelf.h"
#include "reasoning/tray/tray.h"

namespace fairlead {

// One way of the ladder. A retrograde one stands for both of its crossings.
struct TrayWay {
  std::string id, words;                // "RW/RDR c1"
  std::vector<std::string> strategies;  // "RW", "RDR"
  std::string channel;                  // "c1"; empty: not named
  std::string chance;                   // in tens, given that it is reached; empty where it is not in the plan
  double p_cross = 0.0;
  bool in_plan = false, under_way = false;
};

// The ways of the plan in its order, the attempt under way first; then those that the limits leave out.
Result<std::vector<TrayWay>> WaysInOrder(const State& state, const Knowledge& lab, Instant now);

// Codes of the ways in the plan, each once, in its order; all four in the usual order where the plan has none.
std::vector<std::string> StrategiesOf(const std::vector<TrayWay>& ways);
// The first channel that a way names; empty if none does.
std::string ChannelOf(const std::vector<TrayWay>& ways);

// "ways": [{id, words, chance, p_cross, in_plan, under_way, strategies, missing: [{what, state, remark}]}], as a member of
// an object; what is doubtful counts as missing, with its state. An answer that was not asked for a way says nothing of it.
std::string WaysMember(const std::vector<TrayWay>& ways, const TrayQuestion& question, const TrayAnswer& answer);

}  // namespace fairlead
