// SPDX-License-Identifier: Apache-2.0
// The run in words, for `assess`.
#pragma once

#include "casebook/fold.h"
#include "casebook/knowledge.h"

namespace fairlead {

void PrintRun(const State& state, const Knowledge& lab, Instant now);

}  // namespace fairlead
