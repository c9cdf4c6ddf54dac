// SPDX-License-Identifier: Apache-2.0
// A pullback round the catheter's axis: grey values by frame, ray and distance. Borders are functions of the ray there.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <stop_token>
#include <vector>

#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

inline constexpr int kAngles = 128;            // rays of the analysis, from the picture's right, clockwise

// How the frames lie in memory and how large they are. `bytes` may be mapped from a file.
struct PictureStack {
  std::span<const std::uint8_t> bytes;         // rows x columns x frames, 8 bit a sample
  int rows = 0, columns = 0, frames = 0;
  int samples = 1;                             // 1 grey, 3 RGB
  Length row_spacing, column_spacing;
  double centre_x = 0.0, centre_y = 0.0;       // the catheter's axis, pixels
};

struct Polar {
  int frames = 0, depth = 0;                   // samples along a ray
  double step_mm = 0.0;                        // sample i lies at i steps
  std::vector<std::uint8_t> grey;              // frames x kAngles x depth
  std::span<const std::uint8_t> Ray(int frame, int ray) const {
    const auto at = (static_cast<std::size_t>(frame) * kAngles + static_cast<std::size_t>(ray)) * static_cast<std::size_t>(depth);
    return std::span(grey).subspan(at, static_cast<std::size_t>(depth));
  }
};

// Errors: a stack without frames or calibration, a centre outside the picture, fewer than 40 samples along a ray.
Result<Polar> ToPolar(const PictureStack& stack, std::stop_token stop);

}  // namespace fairlead
