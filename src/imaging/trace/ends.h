// SPDX-License-Identifier: Apache-2.0
// Ends of a trace that were clicked beside the vessel: the path runs from the click across to it before it runs along.
#pragma once

#include <span>

#include "imaging/trace/path.h"

namespace fairlead {

// Pixels from each end of the path until it runs along the vessel; 0 where it does so from the click on.
struct BesideVessel {
  double first_px = 0.0, last_px = 0.0;
};

// `path` from pixel to pixel; `radius` of the vessel, pixels. An end counts as beside the vessel where it lies farther than a
// radius from the line that the path takes up within three radii of it, after a turn of more than 45 degrees (chosen).
BesideVessel EndsBeside(std::span<const Pixel> path, double radius);

}  // namespace fairlead
