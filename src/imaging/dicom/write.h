// SPDX-License-Identifier: Apache-2.0
// Writes a synthetic angiogram run as a DICOM X-Ray Angiographic Image, complete for the XA module (PS3.3 A.14,
// C.8.7), marked as invented. The same run gives the same bytes: the instance UIDs (2.25) come from the content.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "geometry/view.h"
#include "measure/result.h"

namespace fairlead {

enum class XaCompression { kNone, kJpegLossless };  // explicit little-endian; JPEG process 14, selection value 1

// First and last column and row of the picture inside the collimator, 0-based and inclusive.
struct CollimatorEdges {
  int left = 0, right = 0, top = 0, bottom = 0;
};

struct SyntheticRun {
  View view;                           // angles, distances, detector spacing, rows and columns
  int bits_stored = 8;                 // 8, 10 or 12
  Duration frame_time;                 // between frames
  std::span<const std::uint16_t> pixels;  // rows x columns x frames, smallest is darkest
  CollimatorEdges collimator;
  std::vector<int> r_wave_frames;      // 0-based
  double window_center = 0.0, window_width = 0.0;  // in stored values; no window is written when the width is 0
  std::string title;                   // "circumflex-marginal LAO 30 CAU 20": goes into the description; at most 50 letters
  std::string set;                     // runs with the same name share patient, study and series
  int number = 1;                      // of the run in its set
};

// The file's bytes. Refuses pixels that are not whole frames or exceed the stored bits, and a view that fails CheckView.
Result<std::vector<std::uint8_t>> XaFile(const SyntheticRun& run, XaCompression compression);

}  // namespace fairlead
