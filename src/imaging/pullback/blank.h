// SPDX-License-Identifier: Apache-2.0
// Frames in which there is nothing to see: as bright near the catheter as far from it, or with nothing in common with
// their neighbours. Borders are drawn there all the same; nothing may be measured from them.
#pragma once

#include <vector>

#include "imaging/pullback/border.h"
#include "imaging/pullback/polar.h"

namespace fairlead {

// One a frame. `from_mm`: nearer is catheter and ring-down.
std::vector<bool> BlankFrames(const Polar& polar, double from_mm);

// Is there a catheter in the middle of the picture? A dark disc or a still ring of some size (a quarter of a millimetre at
// least; catheters measure 0.4 to 0.6: practice). Without one nothing says that this is a pullback, or where its axis is.
inline constexpr double kSmallestCatheter = 0.25;
bool CatheterSeen(const Borders& borders);

}  // namespace fairlead
