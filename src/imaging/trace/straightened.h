// SPDX-License-Identifier: Apache-2.0
// A vessel laid straight: one line of grey values across at each point of its course, smoothed along it. Pixels.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "imaging/trace/course.h"
#include "imaging/trace/picture.h"
#include "imaging/trace/section_fit.h"

namespace fairlead {

inline constexpr double kAcrossStep = 0.5;  // pixels between samples across

struct Straightened {
  int lines = 0, across = 0;
  double reach = 0.0;  // on each side
  std::vector<float> values;

  Line At(int line) const {
    return {std::span(values).subspan(static_cast<std::size_t>(line) * static_cast<std::size_t>(across), static_cast<std::size_t>(across)), reach, kAcrossStep};
  }
};

// A line's mean runs over about 1 mm of the vessel: a Gaussian with an sd of 1.5 pixels.
Straightened Straighten(const Picture& picture, std::span<const PixelPoint> course, std::span<const PixelPoint> normals, double reach);

// Middle and radius of the vessel on one line, from which a fit starts.
struct SectionStart {
  double middle = 0.0, radius = 1.0;
};

}  // namespace fairlead
