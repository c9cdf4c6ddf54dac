// SPDX-License-Identifier: Apache-2.0
// Which frame of a run to measure on: how much contrast each frame shows, how much its vessels move, and, where the file
// marks R waves, where in the beat it lies. One frame may be suggested; the reader chooses.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "imaging/trace/picture.h"

namespace fairlead {

struct FrameMoment {
  double contrast = 0.0;          // of the run's fullest, 0 to 1; smoothed over three frames
  double motion_px = 0.0;         // of vessels across their course, pixels a frame
  std::optional<double> of_beat;  // 0 at an R wave, 1 at the next; none outside two R waves
};

struct RunMoments {
  std::vector<FrameMoment> frames;
  std::optional<int> suggested;   // 0-based
  std::string because;            // one sentence: why that frame, or why none
};

// Takes the frames of a run one after the other; keeps a picture of each at most 96 pixels wide, and a quarter of the last two's pixels.
class MomentFinder {
 public:
  // Absorption of the next frame. All frames have one size.
  void Add(const Picture& frame);
  // `r_waves`: 0-based frames nearest an R wave, rising (DICOM R Wave Pointer). Fewer than 8 frames, or contrast that
  // hardly changes, bring no suggestion.
  RunMoments Find(std::span<const int> r_waves) const;

 private:
  std::vector<Picture> held_;      // the last two, halved
  std::vector<int> ridges_;        // pixels on and beside the strongest 5 % of the last's vesselness
  std::vector<std::vector<float>> small_;  // halved twice or more, all frames
  int small_columns_ = 0;
  std::vector<double> motion_px_;  // of each frame but the last
};

}  // namespace fairlead
