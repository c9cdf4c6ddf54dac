// SPDX-License-Identifier: Apache-2.0
// Which frames of a pullback show the heart at rest, from the pictures alone: the catheter swings to and fro with each
// beat, so that frame order is not place order. Between two frames at rest the place along the vessel is nearly that of
// the motor. How much two neighbouring frames differ rises and falls with the beat; its rate is the strongest wave
// between 42 and 150 a minute, and of each beat the frame that differs least is kept.
#pragma once

#include <optional>
#include <vector>

#include "imaging/pullback/polar.h"
#include "measure/source.h"

namespace fairlead {

struct HeartGate {
  std::vector<int> frames;             // at rest, one a beat, ascending
  double beats_per_min = 0.0;
  double clear = 0.0;                  // the wave's power against the median of the others; shown, not a chance
};

// Published: 1.5 +- 0.8 mm of axial movement a beat.
inline constexpr SourceId kAxialMotionSource = "ivus-motion-1999"_source;

// How much each frame differs from the next, 0 (alike) to 1, in the ring between `from_mm` and `to_mm`; one fewer than frames.
std::vector<double> Unrest(const Polar& polar, double from_mm, double to_mm);

// Nothing: too short (under four seconds or 40 frames), the rate of frames below 8 a second, or no wave that stands out.
std::optional<HeartGate> GateOn(const std::vector<double>& unrest, double frame_ms);

}  // namespace fairlead
