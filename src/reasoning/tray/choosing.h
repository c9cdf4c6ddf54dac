// SPDX-License-Identifier: Apache-2.0
// Which devices would do for a need, best first. Only the room's own files include this.
#pragma once

#include "reasoning/tray/needs.h"
#include "reasoning/tray/tray.h"

namespace fairlead {

// Of the guides through which the routes run: usual until they are chosen.
struct GuideLengths {
  Stretch antegrade{"guide", Length::Centimetres(100), {}, true}, retrograde{"guide", Length::Centimetres(90), {}, true};
};

// Candidates and their reach; nothing is laid out yet.
TrayNeed ChooseNeed(const NeedRow& row, const TrayQuestion& question, const Shelf& shelf, const GuideLengths& lengths);

// Where the tip must stand on that side.
Stretch RouteOn(Approach side, const TrayQuestion& question, const GuideLengths& lengths);

}  // namespace fairlead
