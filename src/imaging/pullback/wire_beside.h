// SPDX-License-Identifier: Apache-2.0
// The second wire seen from beside the vessel: does a media line lie between catheter and wire? A wire in the vessel lies
// behind one, a wire that is outside too does not (practice, no source).
#pragma once

#include <optional>

#include "imaging/pullback/wire.h"

namespace fairlead {

struct MediaBetween {
  double contrast = 0.0;   // grey levels by which the darkest band on the way is darker than the tissue on both sides of it
  double darker = 0.0;     // grey levels by which the tissue before the wire is darker than at that depth on the other side
  double gap_mm = 0.0;     // from the channel's border to the wire
  int frames = 0;          // in which the wire is seen
};

// Over frames `first` to `last`. None: the wire is seen in fewer than three of them.
std::optional<MediaBetween> MediaBetweenIn(const Polar& polar, const Borders& borders, const Wires& wires, int first, int last);

// Chance that the wire lies inside the vessel's media, of a catheter that lies outside it.
double InsideFromBeside(const MediaBetween& between);

}  // namespace fairlead
