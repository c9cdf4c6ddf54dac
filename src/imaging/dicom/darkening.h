// SPDX-License-Identifier: Apache-2.0
// How much contrast each frame of a run shows: how much darker than the run's own background it is where it is most so.
#pragma once

#include <span>
#include <vector>

namespace fairlead {

struct Darkening {
  std::vector<double> of_frame;  // never below 0; in the unit of the darkness given
  double noise = 0.0;            // of one frame, usual: what stands out by chance
};

// `frames`: darkness of each, `columns` to a row, all of one size; coarse, a vessel a few pixels wide. What stands still (bone,
// catheters) is in the background, what darkens a whole neighbourhood (breath moves the diaphragm, exposure control) is taken off,
// and so is what noise and moving edges darken, which they brighten elsewhere. Contrast covers few of the pixels of a frame.
Darkening DarkeningOf(std::span<const std::vector<float>> frames, int columns);

}  // namespace fairlead
