// SPDX-License-Identifier: Apache-2.0
// In which space the catheter and the second wire lie, over ranges of frames, as odds from what is measured. Nobody has
// published a validated classifier; the odds are chosen and checked on invented pullbacks, which are easier than patients.
#pragma once

#include <optional>
#include <vector>

#include "imaging/pullback/wire.h"

namespace fairlead {

struct SpaceRange {
  int first = 0, last = 0;            // frames, inclusive
  double media_share = 0.0;           // of the ring that is seen: dark media with brighter tissue on both sides
  double bare_share = 0.0;            // of the ring that is seen: tissue as bright as any farther out begins at the channel, without a dark band
  double seen_share = 0.0;            // of the ring that is seen at all
  double catheter_inside = 0.5;       // chance that the catheter lies inside the plaque's media
  std::optional<double> wire_inside;  // the same of the second wire; none: no wire, or the catheter is not surely inside
};

std::vector<SpaceRange> SpacesAlong(const Polar& polar, const Borders& borders, const Wires& wires);

}  // namespace fairlead
