// SPDX-License-Identifier: Apache-2.0
// The occlusion's length where depth cannot be told: both caps in one frame, or the caps in two frames of one pose.
// One view sees the chord between the caps foreshortened, so the true length is this or longer. First order, with
// named parts; the lean out of the picture is assumed.
#pragma once

#include <string>
#include <vector>

#include "imaging/pair/seen.h"
#include "measure/reading.h"
#include "measure/result.h"

namespace fairlead {

struct SingleView {
  Reading<Length> length;
  bool one_frame = true;      // both caps in the same instant
  std::string frames;         // "a", or "a and b"
  std::size_t landmarks = 0;  // that told how the heart moved between two frames of one pose
  double over_20_mm = 0.0;    // odds that the length is 20 mm or more, if it leans no more than assumed
  bool sure_over_20 = false;  // what is seen alone is 20 mm or more
};

// Errors: no frame and no two frames of one pose (within 3 degrees) show both caps.
Result<SingleView> LengthInOnePose(const Seen& seen);

inline constexpr Angle kSamePoseWithin = Angle::Degrees(3.0);  // practice, no source
inline constexpr Length kBeatSd =
    Length::Millimetres(3.0);  // between two frames without a landmark; practice, no source
inline constexpr Length kBeatSdKnown = Length::Millimetres(1.0);  // with one; practice, no source
inline constexpr Angle kLean = Angle::Degrees(15.0);  // of the chord out of the picture, sd; practice, no source
inline constexpr Length kDepthSd = Length::Millimetres(25.0);  // of the lesion from the isocentre; practice, no source

}  // namespace fairlead
