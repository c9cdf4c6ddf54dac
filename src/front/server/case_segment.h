// SPDX-License-Identifier: Apache-2.0
// The occlusion of a case in space, as an accepted measurement in two views holds it.
#pragma once

#include <optional>
#include <string>

#include "front/server/practice.h"
#include "reasoning/views/tree.h"

namespace fairlead {

struct MeasuredSegment {
  std::string entry;  // id of the fact that it rests on
  VesselTree tree;    // the occlusion as target; vessels and a collateral that were marked beside it
  std::string said;   // "13 ± 0.9 mm"
};

// Measures again what the standing fact of length (else of bend) was measured from. Nothing where neither rests on two
// views. Errors: why such a fact cannot be measured again (its run is gone, the views cannot tell depth).
Result<std::optional<MeasuredSegment>> SegmentOfCase(Practice& practice, const State& state);

}  // namespace fairlead
