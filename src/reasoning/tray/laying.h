// SPDX-License-Identifier: Apache-2.0
// The pieces in the drawers, given to the needs one after the other: no piece twice. Only the room's own files include
// this.
#pragma once

#include "reasoning/tray/tray.h"

namespace fairlead {

// Fills pieces, state and remark of every need; guides and sheaths take theirs first, then the ladder, then the
// bail-out list from what is left.
void LayOut(TrayAnswer& answer, const TrayQuestion& question, const Shelf& shelf);

}  // namespace fairlead
