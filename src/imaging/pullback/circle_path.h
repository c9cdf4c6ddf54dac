// SPDX-License-Identifier: Apache-2.0
// The cheapest closed path once round a picture of kAngles rays: one sample a ray, neighbours at most two samples apart,
// each step of k samples at a price of `stiff` k^2. Found over two turns, of which the second is kept.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "imaging/pullback/polar.h"

namespace fairlead {

class CirclePath {
 public:
  // `cost` holds kAngles x depth values; `path` gets the sample of each ray.
  void Find(std::span<const float> cost, int depth, float stiff, std::array<float, kAngles>& path);

 private:
  std::vector<float> sum_, next_;
  std::vector<std::int8_t> came_;
};

}  // namespace fairlead
