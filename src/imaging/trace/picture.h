// SPDX-License-Identifier: Apache-2.0
// A frame as the tracer sees it: bright where much is absorbed, one float a pixel, pixel centres at integers.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "imaging/ruler/ruler.h"

namespace fairlead {

struct Picture {
  int rows = 0, columns = 0;
  std::vector<float> values;  // row by row

  float at(int column, int row) const {
    return values[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(column)];
  }
};

// Columns and rows inside the collimator, 0-based and inclusive.
struct InsideShutter {
  int left = 0, right = 0, top = 0, bottom = 0;
};

// The frame turned over, so that contrast is bright. What lies outside the shutter is replaced by the nearest value
// inside, so that the collimator's edge is no vessel. The stored values are taken as they are: a display's curve is
// close to a logarithm, and edges do not depend on its slope.
Picture AbsorptionOf(const GreyFrame& frame, const std::optional<InsideShutter>& inside);

// Mean of 2 x 2 pixels; the last row or column counts twice where there is an odd number.
Picture Halved(const Picture& picture);

// Value between pixels by cubic convolution (IEEE Trans Acoust 1981;29:1153-1160, a = -1/2), which blurs far less than
// lines between pixels; the nearest edge value outside.
double ValueBetween(const Picture& picture, double x, double y);

}  // namespace fairlead
