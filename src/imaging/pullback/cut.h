// SPDX-License-Identifier: Apache-2.0
// Grey values for cuts along a pullback: for some frames, kAngles rays round the catheter. Whoever has them can cut at
// any angle without asking again. In pixels of the picture: the size of a pixel need not be known.
#pragma once

#include <cstdint>
#include <stop_token>
#include <vector>

#include "imaging/pullback/polar.h"

namespace fairlead {

inline constexpr int kCutDeepest = 128;   // samples along a ray

struct CutRays {
  int first = 0, last = 0;                // frames, both included
  int depth = 0;                          // samples along a ray
  double step_px = 0.0;                   // columns of the picture between two samples; sample i lies at i steps
  std::vector<std::uint8_t> grey;         // frames x kAngles x depth
};

// `stack` without its spacings or with both. Errors: frames that are not there; what ToPolar says.
Result<CutRays> RaysForCuts(const PictureStack& stack, int first, int last, std::stop_token stop);

}  // namespace fairlead
