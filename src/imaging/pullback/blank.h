// SPDX-License-Identifier: Apache-2.0
// Frames in which there is nothing to see: as bright near the catheter as far from it, or with nothing in common with
// their neighbours. Borders are drawn there all the same; nothing may be measured from them.
#pragma once

#include <vector>

#include "imaging/pullback/polar.h"

namespace fairlead {

// One a frame. `from_mm`: nearer is catheter and ring-down.
std::vector<bool> BlankFrames(const Polar& polar, double from_mm);

}  // namespace fairlead
