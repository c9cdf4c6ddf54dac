// SPDX-License-Identifier: Apache-2.0
// What the pixels themselves say: the range of greys, how full of contrast each frame is, on which side the spine lies.
#pragma once

#include <array>
#include <cstdint>
#include <mutex>
#include <span>
#include <vector>

#include "imaging/dicom/run.h"

namespace fairlead {

constexpr int kGrid = 32;      // blocks across and down of the coarse mean picture
constexpr int kFineGrid = 64;  // of each frame: a block of 8 pixels of 512 is about as wide as a vessel

// Mean of the pixels of each block inside the shutter over all frames: 0 the run's darkest, 1 its brightest.
using CoarsePicture = std::array<double, std::size_t{kGrid} * kGrid>;

// Gathers from each frame, in any order, from several threads. Every second pixel of every second row is looked at.
class PictureGatherer {
 public:
  explicit PictureGatherer(const Run& run);
  void Add(int frame, std::span<const std::uint8_t> bytes);

  // Fills window (1 to 99 % of the greys, if the file has none), filling and spine; warns if the spine contradicts
  // the stated angle. The run may have fewer frames than at the start.
  void Finish(Run& run) const;

 private:
  int columns_, samples_, bits_;
  int shift_;  // from a stored value to its bin of greys
  Shutter inside_;
  std::vector<double> Filling(double low, double high, bool inverse, int frames) const;

  std::vector<std::vector<std::uint32_t>> greys_;  // of each frame, inside the shutter
  std::vector<std::vector<std::uint16_t>> fine_;   // of each frame: mean bin of each block of the fine grid, in sixteenths
  std::vector<std::uint32_t> fine_counts_;         // pixels looked at in each block of it
  CoarsePicture sums_{};    // of bins, all frames
  CoarsePicture counts_{};  // pixels looked at in each block, one frame
  std::vector<std::size_t> block_columns_, fine_columns_;
  std::mutex guard_;
};

// On which side of the mean picture the spine lies: sure only when one side is dark all the way down.
SpineSide SpineFrom(const CoarsePicture& picture);

// Warns if the side of the spine contradicts the run's primary angle.
void CompareSpineWithView(Run& run);

}  // namespace fairlead
