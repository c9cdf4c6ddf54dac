// SPDX-License-Identifier: Apache-2.0
// What the rays of a frame look like together with those of the frames beside it: blood changes, wall stays. And the
// catheter in their middle. Frames far too bright are left out where a better one is near.
#pragma once

#include <vector>

#include "imaging/pullback/polar.h"

namespace fairlead {

inline constexpr int kAverage = 2;               // frames on each side that are looked at together

// One a frame: much of it is white, unlike most of the pullback, and a frame that is not lies within kAverage.
std::vector<bool> FramesTooBright(const Polar& polar);

// Means over the frames within kAverage, of the size of a frame (kAngles x depth). `too_bright` as above.
void MeanOverFrames(const Polar& polar, const std::vector<bool>& too_bright, int frame, std::vector<float>& mean);
// How much each sample changes, in grey levels, from one of these frames to the next.
void ChangeOverFrames(const Polar& polar, const std::vector<bool>& too_bright, int frame, std::vector<float>& change);

// The catheter's own disc is black, or so bright and still that nothing moves there.
struct CatheterRing {
  int edge = 0;                                  // samples: the disc ends
  int still = 0;                                 // samples: nearer, ring-down hides everything
};
CatheterRing FindCatheterRing(const Polar& polar, const std::vector<bool>& too_bright);

// A sample of a frame's picture.
inline std::size_t SampleAt(int ray, int sample, int depth) {
  return static_cast<std::size_t>(ray) * static_cast<std::size_t>(depth) + static_cast<std::size_t>(sample);
}

}  // namespace fairlead
