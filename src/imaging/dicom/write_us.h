// SPDX-License-Identifier: Apache-2.0
// Writes a synthetic ultrasound pullback as a DICOM Ultrasound Multi-frame Image (PS3.3 A.7), with region calibration
// (C.8.5.5) and pullback rate (C.8.5.6), marked as invented. The same pullback gives the same bytes.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

struct SyntheticPullback {
  int rows = 0, columns = 0;
  std::span<const std::uint8_t> pixels;   // rows x columns x frames
  Length pixel;                           // size, the same both ways
  Duration frame_time;
  double pullback_mm_s = 0.0;             // 0: not stated in the file
  bool calibrated = true;                 // false: the file does not say how large a pixel is
  std::string title;                      // at most 50 letters
  std::string set;
};

// Errors: pixels that are not whole frames; a title that is too long.
Result<std::vector<std::uint8_t>> UltrasoundFile(const SyntheticPullback& pullback);

}  // namespace fairlead
