// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/picture.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace fairlead {
namespace {

InsideShutter Clamped(const std::optional<InsideShutter>& inside, int rows, int columns) {
  const InsideShutter whole{0, columns - 1, 0, rows - 1};
  if (!inside) return whole;
  const InsideShutter shut{std::clamp(inside->left, 0, columns - 1), std::clamp(inside->right, 0, columns - 1),
                           std::clamp(inside->top, 0, rows - 1), std::clamp(inside->bottom, 0, rows - 1)};
  return shut.left <= shut.right && shut.top <= shut.bottom ? shut : whole;
}

// Weights of the four neighbours for a share `t` of the way from the second to the third.
std::array<double, 4> CubicWeights(double t) {
  const double t2 = t * t, t3 = t2 * t;
  return {0.5 * (-t3 + 2.0 * t2 - t), 0.5 * (3.0 * t3 - 5.0 * t2 + 2.0), 0.5 * (-3.0 * t3 + 4.0 * t2 + t), 0.5 * (t3 - t2)};
}

}  // namespace

Picture AbsorptionOf(const GreyFrame& frame, const std::optional<InsideShutter>& inside) {
  Picture picture{frame.rows, frame.columns, {}};
  picture.values.resize(static_cast<std::size_t>(frame.rows) * static_cast<std::size_t>(frame.columns));
  const InsideShutter shut = Clamped(inside, frame.rows, frame.columns);
  for (int row = 0; row < frame.rows; ++row) {
    const auto from = static_cast<std::size_t>(std::clamp(row, shut.top, shut.bottom)) * static_cast<std::size_t>(frame.columns);
    float* out = picture.values.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(frame.columns);
    if (frame.bytes_per_value == 1) {
      for (int c = shut.left; c <= shut.right; ++c) out[c] = -static_cast<float>(frame.bytes[from + static_cast<std::size_t>(c)]);
    } else {
      for (int c = shut.left; c <= shut.right; ++c) {
        const std::size_t at = 2 * (from + static_cast<std::size_t>(c));
        out[c] = -static_cast<float>(frame.bytes[at] | frame.bytes[at + 1] << 8);
      }
    }
    std::fill(out, out + shut.left, out[shut.left]);
    std::fill(out + shut.right + 1, out + frame.columns, out[shut.right]);
  }
  return picture;
}

Picture Halved(const Picture& picture) {
  Picture half{(picture.rows + 1) / 2, (picture.columns + 1) / 2, {}};
  half.values.resize(static_cast<std::size_t>(half.rows) * static_cast<std::size_t>(half.columns));
  const int whole = picture.columns / 2;
  for (int row = 0; row < half.rows; ++row) {
    const float* a = picture.values.data() + static_cast<std::size_t>(2 * row) * static_cast<std::size_t>(picture.columns);
    const float* b = 2 * row + 1 < picture.rows ? a + picture.columns : a;
    float* out = half.values.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(half.columns);
    for (int c = 0; c < whole; ++c) out[c] = 0.25f * (a[2 * c] + a[2 * c + 1] + b[2 * c] + b[2 * c + 1]);
    if (whole < half.columns) out[whole] = 0.5f * (a[2 * whole] + b[2 * whole]);
  }
  return half;
}

double ValueBetween(const Picture& picture, double x, double y) {
  const double cx = std::clamp(x, 0.0, picture.columns - 1.0), cy = std::clamp(y, 0.0, picture.rows - 1.0);
  const int x0 = static_cast<int>(cx), y0 = static_cast<int>(cy);
  const auto wx = CubicWeights(cx - x0), wy = CubicWeights(cy - y0);
  double sum = 0.0;
  for (int j = 0; j < 4; ++j) {
    const int row = std::clamp(y0 - 1 + j, 0, picture.rows - 1);
    double line = 0.0;
    for (int i = 0; i < 4; ++i) {
      line += wx[static_cast<std::size_t>(i)] * static_cast<double>(picture.at(std::clamp(x0 - 1 + i, 0, picture.columns - 1), row));
    }
    sum += wy[static_cast<std::size_t>(j)] * line;
  }
  return sum;
}

}  // namespace fairlead
