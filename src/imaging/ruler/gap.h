// SPDX-License-Identifier: Apache-2.0
// The occlusion between two caps that one pose of the gantry shows, the near one filled from one side, the far one from
// the other: in one frame, in two frames of a run, or in two runs of one pose. Its length along the course, with what
// the two moments add to its error; the bend of the course, and the odds that it is truly more than 45 degrees.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "imaging/ruler/ruler.h"

namespace fairlead {

struct GapEnd {
  PixelPoint cap;
  std::optional<PixelPoint> lumen;  // a place in the filled lumen some 5 mm from the cap: the way the vessel comes
};

enum class GapMoments { kOneFrame, kTwoFrames, kTwoRuns };

struct GapRequest {
  GapEnd near, far;
  GapMoments moments = GapMoments::kOneFrame;
  std::vector<PixelPoint> between;  // along the course from near to far, where calcium or a wire shows it
  // One landmark of the heart (a clip, a stent, calcium) as each moment shows it: the far side is moved by its shift.
  std::optional<PixelPoint> landmark_near, landmark_far;
  PixelSize pixel;
};

struct GapBend {
  Angle largest;          // in the picture
  Angle by_clicks;        // sd of `largest`
  Angle sd;               // of the true bend about `largest`: clicks, and limbs that lean out of the picture unseen
  double over_45 = 0.0;   // chance that the true bend is more, the two limbs leaning out of the picture unseen
  Length arm;             // over which the direction of each limb is taken
};

struct Gap {
  Reading<Length> length;            // along the course
  Length chord;                      // from cap to cap
  std::vector<PixelPoint> course;    // in the frame of the near cap
  std::string course_from;           // "points between the caps", "the way each lumen comes", "a straight line"
  std::optional<GapBend> bend;          // none for a straight line that nobody saw
  std::vector<std::string> warnings;
};

// Errors: a point without a place, caps less than 2 pixels apart, a landmark in one moment only, more than 40 points.
Result<Gap> MeasureGap(const GapRequest& request);

// Chance that two limbs which meet at `seen` (sd `sd`) in the picture truly meet at more than 45 degrees, each leaning
// out of the picture by an angle of mean 0 and the given sd, unseen.
double OddsOver45(Angle seen, Angle sd, Angle lean_sd);
// Root of the mean square by which the true angle of such limbs differs from the one seen, the clicks left out.
Angle BendByLean(Angle seen, Angle lean_sd);

}  // namespace fairlead
