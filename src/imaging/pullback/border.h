// SPDX-License-Identifier: Apache-2.0
// The borders of lumen and media on every frame of a pullback. On each ray the grey values are taken as blood, plaque,
// dark media, bright adventitia, in this order; the two borders that fit best are found by dynamic programming over
// the rays of a frame (closed round the circle) and repeated with a pull towards the neighbouring frames.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <stop_token>
#include <vector>

#include "imaging/pullback/polar.h"
#include "measure/result.h"

namespace fairlead {

// A person's correction: the border passes here.
struct BorderPoint {
  int frame = 0;
  double angle_deg = 0.0, distance_mm = 0.0;
  bool media = false;                            // of the media's outer edge; else of the lumen
};

struct BorderFrame {
  std::array<float, kAngles> lumen{}, eem{};     // mm from the catheter's axis
  std::array<std::uint8_t, kAngles> lumen_seen{}, eem_seen{};  // 0: shadow, ring-down or the picture's edge; interpolated
};

struct GreyLevels {
  double blood = 0, plaque = 0, media = 0, adventitia = 0;
};

struct Borders {
  double step_mm = 0.0;
  double catheter_mm = 0.0;                      // radius of the dark disc or bright ring in the middle
  double blind_mm = 0.0;                         // nearer than this ring-down hides everything
  double spill_mm = 0.0;                         // by which the lumen was widened: bright spills over dark
  GreyLevels levels;                             // of the whole pullback
  std::vector<BorderFrame> frames;
};

// How often each frame is gone through.
inline constexpr int kSweeps = 3;

// `one_more` is called after each frame of each sweep, from two threads. Errors: stopped.
Result<Borders> FindBorders(const Polar& polar, const std::vector<BorderPoint>& corrections, std::stop_token stop,
                            const std::function<void()>& one_more = {});

}  // namespace fairlead
