// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/straightened.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace fairlead {

Straightened Straighten(const Picture& picture, std::span<const PixelPoint> course, std::span<const PixelPoint> normals, double reach) {
  constexpr double kAlongSd = 1.5;
  const int half = static_cast<int>(std::ceil(reach / kAcrossStep));
  Straightened raw{static_cast<int>(course.size()), 2 * half + 1, half * kAcrossStep, {}};
  raw.values.reserve(static_cast<std::size_t>(raw.lines) * static_cast<std::size_t>(raw.across));
  for (std::size_t l = 0; l < course.size(); ++l) {
    for (int i = -half; i <= half; ++i) {
      raw.values.push_back(static_cast<float>(ValueBetween(picture, course[l].x + i * kAcrossStep * normals[l].x, course[l].y + i * kAcrossStep * normals[l].y)));
    }
  }
  constexpr int kReach = 4;
  std::array<float, 2 * kReach + 1> weights{};
  float sum = 0.0f;
  for (int k = -kReach; k <= kReach; ++k) {
    const auto w = static_cast<float>(std::exp(-0.5 * k * k / (kAlongSd * kAlongSd)));
    weights[static_cast<std::size_t>(k + kReach)] = w;
    sum += w;
  }
  Straightened smooth = raw;
  for (int l = 0; l < raw.lines; ++l) {
    float* out = smooth.values.data() + static_cast<std::size_t>(l) * static_cast<std::size_t>(raw.across);
    std::fill_n(out, raw.across, 0.0f);
    for (int k = -kReach; k <= kReach; ++k) {
      const float* in = raw.values.data() + static_cast<std::size_t>(std::clamp(l + k, 0, raw.lines - 1)) * static_cast<std::size_t>(raw.across);
      const float w = weights[static_cast<std::size_t>(k + kReach)] / sum;
      for (int i = 0; i < raw.across; ++i) out[i] += w * in[i];
    }
  }
  return smooth;
}

}  // namespace fairlead
