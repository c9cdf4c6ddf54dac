// SPDX-License-Identifier: Apache-2.0
// How long a wire must be to be externalised with what is in the body now.
#pragma once

#include <optional>

#include "casebook/run/run_state.h"

namespace fairlead {

// L = microcatheter + w + antegrade guide + valve 9 + free wire 40 (rapid-exchange gear) + tail 10 cm, with w the way back
// from the guide's tip to the microcatheter's while balloons are used: -10 parked inside it, 0 at its tip, +25 clear of
// the lesion. Practice, no source.
struct ExternaliseReach {
  double parked_cm = 0.0, at_tip_cm = 0.0, clear_cm = 0.0;
};
// None without the lengths of the antegrade guide and the retrograde microcatheter.
std::optional<ExternaliseReach> ReachOf(const RunState& run);

}  // namespace fairlead
