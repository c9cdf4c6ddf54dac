// SPDX-License-Identifier: Apache-2.0
// Does the channel that holds the catheter look like the true lumen or like a way made through plaque? Two signs: an intima
// lines a true lumen all round (a bright edge where the wall begins), a channel in plaque in patches at most; and a branch
// opens into the true lumen, while seen from plaque it begins at the media. Practice, no source (branches and layers as signs
// of a wire's space); what each sign is worth was estimated on invented pullbacks: docs/methods-ultrasound.md.
#pragma once

#include "imaging/pullback/wire.h"

namespace fairlead {

struct LumenSigns {
  double lining = 0.0;    // grey levels by which the wall's edge is brighter than what lies behind it: the median of sectors
  int sectors = 0;        // of 16, in which that could be measured
  int branch_opens = 0;   // frames in which a branch opens into the channel
  int branch_beyond = 0;  // frames in which one is seen beyond tissue
};

// Over frames `first` to `last`. Frames that are far too bright or blank, and rays of a wire, are left out.
LumenSigns LumenSignsIn(const Borders& borders, const Wires& wires, int first, int last);

// Natural logarithm of how much likelier the signs are in the true lumen than in plaque or beside the vessel; within 4.
double LumenEvidence(const LumenSigns& signs);

}  // namespace fairlead
