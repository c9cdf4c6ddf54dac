// SPDX-License-Identifier: Apache-2.0
// The ladder of one case as JSON text with the members of docs/wire.md.
#pragma once

#include <cstdint>
#include <string>

#include "reasoning/strategy/outlook_text.h"
#include "reasoning/strategy/panel.h"

namespace fairlead {

// ISO times; empty: null in the JSON.
struct LadderMoment {
  std::string now{}, holds_until{};
};

// `seq`: the last entry of the case that it rests on; 0 without a case.
std::string LadderJson(const LadderAnswer& answer, std::int64_t seq = 0, const LadderMoment& moment = {});

}  // namespace fairlead
