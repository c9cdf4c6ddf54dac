// SPDX-License-Identifier: Apache-2.0
// Wires in a pullback: a bright echo with a narrow shadow behind it, followed from frame to frame. The one on which the
// catheter rides lies at the catheter; a second one lies anywhere else.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "imaging/pullback/border.h"

namespace fairlead {

struct WireEcho {
  double angle_deg = 0.0, distance_mm = 0.0;   // of the near side of its echo
  double margin = 0.0;                         // by how much its score beats the best other place's
  bool seen = true;                            // else it is only carried over from the frames around
  friend bool operator==(const WireEcho&, const WireEcho&) = default;
};

struct WireTrack {
  std::vector<WireEcho> frames;               // one a frame; empty: no wire was found
};

struct Wires {
  WireTrack riding, second;
};

// A person's click: the wire is here in this frame.
struct WireClick {
  int frame = 0;
  double angle_deg = 0.0;
  bool second = false;
};

// How much each ray of a frame looks like a wire, and where: what following it from frame to frame starts from.
struct WireScore {
  std::array<float, kAngles> value{}, sample{};
  std::array<float, kAngles> alone{};          // before what stands beside it is taken off
};
struct WireScores {
  std::vector<WireScore> riding, second;       // one a frame each
};
WireScores ScoreWires(const Polar& polar, const Borders& borders);
// The frames whose borders have changed, scored anew. The riding wire's scores do not rest on the borders.
void ScoreSecondWire(const Polar& polar, const Borders& borders, const std::vector<int>& frames, WireScores& scores);

Wires FindWires(const Polar& polar, const WireScores& scores, const std::vector<WireClick>& clicks);

// Tissue between the channel that holds the catheter and the second wire, frame by frame.
struct TissueReading {
  bool seen = true;                            // the wire is; else nothing below is a measurement
  double thickness_mm = 0.0, sd_mm = 0.0;
  double angle_deg = 0.0;
  double beyond_media_mm = 0.0;                // of the wire's near side against the media's outer edge; below 0 inside
};
std::vector<TissueReading> TissueBetween(const Borders& borders, const Wires& wires);

}  // namespace fairlead
