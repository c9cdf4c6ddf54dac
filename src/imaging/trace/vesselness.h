// SPDX-License-Identifier: Apache-2.0
// Where tube-like bright structures are, and how wide: the second derivatives of the picture at several scales.
//
// At each scale s the eigenvalues |l1| <= |l2| of s^2 times the Hessian give max(0, -l2) l2^2 / (l2^2 + 2 l1^2): strong
// on a bright ridge, weak on a blob, zero on a dark line. It keeps its strength through narrowings and branches, which a
// path needs (a line filter on the largest eigenvalue, after Med Image Anal 1998;2:143-168, from memory). The largest
// over the scales counts. A round lumen of radius R is strongest at s = 0.84 R (computed).
#pragma once

#include <span>
#include <vector>

#include "imaging/trace/picture.h"

namespace fairlead {

struct Vesselness {
  int rows = 0, columns = 0;
  std::vector<float> strength;  // grey values; 0 = no tube
  std::vector<float> scale;     // the scale that was strongest, pixels; 0 where there is no tube
};

// Radius of a round lumen that is strongest at scale 1 (computed; the test works it out by quadrature).
inline constexpr double kRadiusOfScale = 1.0 / 0.84;

// Scales in pixels, a factor sqrt(2) apart: radii of about 1.8 to 7 pixels at their best, 1 to 14 seen. Those of 3 and
// more are worked out on the picture halved, where the ridge moves by 0.03 pixels and the time falls to half.
inline constexpr float kVesselScales[] = {1.5f, 2.1f, 3.0f, 4.2f, 6.0f};
inline constexpr float kHalvedFrom = 3.0f;

// Any size from 1 x 1. Uses the widest vectors of this processor; results differ between processors in the last bits.
Vesselness VesselnessOf(const Picture& picture);
// The same into what an earlier frame left, whose memory is used again: for frame after frame of a run.
void VesselnessInto(const Picture& picture, Vesselness& out);

// The same with one's own scales (0.5 to 12 pixels, at least one), all at full size: what the fast one is compared with.
Vesselness VesselnessAtFullSize(const Picture& picture, std::span<const float> scales);

// The value below which the given share of all pixels lies, to 1/2048 of the largest.
float StrengthAtShare(const Vesselness& vesselness, double share);

}  // namespace fairlead
