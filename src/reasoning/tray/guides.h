// SPDX-License-Identifier: Apache-2.0
// One guide a side that takes every group of the ladder, and its sheath. Only the room's own files include this.
#pragma once

#include <vector>

#include "reasoning/tray/tray.h"

namespace fairlead {

// The smallest guide in date through which every group fits; failing that, the one whose worst group is least bad.
std::vector<TrayGuide> ChooseGuides(const TrayQuestion& question, const Shelf& shelf, const std::vector<TrayNeed>& needs);

}  // namespace fairlead
