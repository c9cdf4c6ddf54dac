// SPDX-License-Identifier: Apache-2.0
// What the catheter's own ring-down adds to the echo near it: the same on every frame, so that it is read off the whole
// pullback and taken off before borders are looked for.
#pragma once

#include <vector>

#include "imaging/pullback/border_rays.h"

namespace fairlead {

// Grey levels by which blood looks brighter at each sample than where ring-down has died away; 0 from there on.
struct RingDown {
  std::vector<float> mean;                       // in the mean of five frames
  std::vector<float> still;                      // in that mean less kFlicker times the change
  float rest_mean = 0.0f, rest_still = 0.0f;     // how dark it is where ring-down has died away: blood, where there is any
};
// `edge`: sample at which the catheter's disc ends.
RingDown RingDownOf(const Polar& polar, const std::vector<bool>& too_bright, int edge);

// `grey` with `ring` taken off: all of it where nothing but blood lies there, less the brighter the tissue, since a
// logarithmic picture adds little to what is bright. `blood`: blood's level where ring-down has died away.
inline float Unrung(float grey, float ring, float blood) {
  const float above = grey - blood - ring;
  return grey - ring * (above > 0.0f ? 20.0f / (20.0f + above) : 1.0f);
}

}  // namespace fairlead
