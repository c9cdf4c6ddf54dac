// SPDX-License-Identifier: Apache-2.0
// Frames in which no wall stands out: a path there follows whatever it finds and pulls the frames beside it along. What the
// nearest others show is the better guess. It is not seen.
#pragma once

#include <vector>

#include "imaging/pullback/border.h"

namespace fairlead {

// `walless`: one a frame, the share of rays without a wall (WallessShare). Sets `carried`, and both borders of those frames between
// those of the nearest others, no ray of them seen. Nothing is done where all frames are alike in this. Needs `blank`.
void CarryOver(const std::vector<double>& walless, Borders& borders);

}  // namespace fairlead
