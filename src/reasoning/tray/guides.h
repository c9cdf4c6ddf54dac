// SPDX-License-Identifier: Apache-2.0
// One guide a side that takes every group of the ladder, and its sheath. Only the room's own files include this.
#pragma once

#include <vector>

#include "reasoning/tray/tray.h"

namespace fairlead {

// The smallest guide in date through which every group fits, one device for each need; failing that, the one whose worst
// group is least bad. Its sheath and what stands against it.
std::vector<TrayGuide> ChooseGuides(const TrayQuestion& question, const Shelf& shelf, const std::vector<TrayNeed>& needs);

// The groups anew with the pieces that were laid out; their conflicts in words.
void FitGroups(std::vector<TrayGuide>& guides, const std::vector<TrayNeed>& needs, const Shelf& shelf);

}  // namespace fairlead
