// SPDX-License-Identifier: Apache-2.0
// The whole estimate: beams, map, peak with its interval, and what the interval is made of.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "reasoning/dose/skin_map.h"

namespace fairlead {

struct SkinEstimate {
  BeamSettings settings;
  Beams beams;
  SkinMap map;
  SkinPeak peak;
  double low = 0.0, high = 0.0;       // Gy, of the peak
  bool from_totals = false;           // no event could be placed: the peak follows from the air kerma alone
  std::vector<std::string> why;       // what the interval covers
};

// The interval is 0.75 to 1.35 times the peak where body, table and every event are stated, the spread of programs
// checked on phantoms and of a calibrated chain; 0.57 to 1.76 where body or table is a stand-in, the spread seen on
// patients ("skin-map-review-2020"). What an event leaves unsaid widens it further. Where table positions are stated and the gantry's axes
// were never tested, it spans the readings of the table as well. Events that cannot be placed raise the upper end.
SkinEstimate EstimateSkin(std::span<const IrradiationEvent> events, const BeamSettings& settings, int threads = 2);

// Where the peak is: "the back, 4 cm to the right, 2 cm below the isocentre's level".
std::string PlaceText(const SkinEstimate& made);

}  // namespace fairlead
