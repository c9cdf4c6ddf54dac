// SPDX-License-Identifier: Apache-2.0
// A pullback laid along a traced vessel: a person names places that show in both (origins of branches, a stent's end), and
// frames between them are taken to lie evenly. Where it does not know, its standard deviation grows.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "measure/result.h"

namespace fairlead {

struct PlacePair {
  int frame = 0;
  double along_mm = 0.0;                       // of the traced vessel, from its first point
  std::string name;                            // "first diagonal"; may be empty
};

struct AlignQuestion {
  std::vector<PlacePair> pairs;
  int frames = 0;
  std::optional<double> mm_per_frame;          // of the motor; needed with one pair
  double vessel_mm = 0.0;                      // length of the trace
  // With one pair: does the place along the trace grow with the frames? Drawn back along a trace that was begun at the
  // vessel's origin it falls.
  bool grows = false;
};

struct AlignedPlace {
  double along_mm = 0.0, sd_mm = 0.0;
  bool beyond = false;                         // outside the outermost pairs
};

struct Alignment {
  std::vector<PlacePair> pairs;                // by frame
  int frames = 0;
  double before_mm = 0.0, after_mm = 0.0;      // along the vessel by frame, before the first and after the last pair; signed
  std::vector<AlignedPlace> places;            // one a frame; some may lie beyond the trace
  std::vector<std::string> remarks;            // whole sentences
};

// Chosen: a motor's length errs by 9 %, a named place by 0.5 mm (a branch's origin is some millimetres wide).
inline constexpr double kPullbackLengthSd = 0.09, kPlaceSd = 0.5;

// Errors: no pair; a place outside pullback or trace; two pairs in one frame or in one place; pairs that cross; one pair
// without a speed.
Result<Alignment> AlignPullback(const AlignQuestion& question);

// Where a place of the vessel lies in the pullback; none: outside it.
struct AlignedFrame {
  double frame = 0.0, sd_frames = 0.0;
  bool beyond = false;
};
std::optional<AlignedFrame> FrameAt(const Alignment& alignment, double along_mm);

}  // namespace fairlead
