// SPDX-License-Identifier: Apache-2.0
// In which space the catheter and the second wire lie, over ranges of frames, as odds from what is measured. Nobody has
// published a validated classifier; the odds are chosen and checked on invented pullbacks, which are easier than patients.
#pragma once

#include <optional>
#include <vector>

#include "imaging/pullback/lumen_sign.h"
#include "imaging/pullback/wire.h"
#include "imaging/pullback/wire_beside.h"

namespace fairlead {

// Chances; together 1. Before anything is seen: as likely inside the plaque's media as outside, and within it as likely in the
// true lumen as in plaque.
struct SpaceChances {
  double lumen = 0.25, plaque = 0.25, outside = 0.5;
  double inside() const { return lumen + plaque; }
};

struct SpaceRange {
  int first = 0, last = 0;            // frames, inclusive
  double media_share = 0.0;           // of the ring that is seen: dark media with brighter tissue on both sides
  double bare_share = 0.0;            // of the ring that is seen: tissue as bright as any farther out begins at the channel, without a dark band
  double seen_share = 0.0;            // of the ring that is seen at all
  double ring_inside = 0.5;           // chance that the catheter lies inside the plaque's media, from the ring of these frames alone
  LumenSigns signs;                   // of the true lumen
  SpaceChances catheter;              // from ring, signs and the ranges beside this one
  std::optional<MediaBetween> beside; // of a wire seen from beside the vessel
  std::optional<SpaceChances> wire;   // of the second wire; none: no wire, or the catheter's own side is not sure
};

// Each range's own likelihoods, with what its neighbours say: spaces change seldom along a vessel. Ranges without anything seen
// say nothing and stay untold.
std::vector<SpaceRange> SpacesAlong(const Polar& polar, const Borders& borders, const Wires& wires);

}  // namespace fairlead
