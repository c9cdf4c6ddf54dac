// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/circle_path.h"

#include <algorithm>
#include <cstddef>

namespace fairlead {
namespace {

constexpr int kTurns = 2 * kAngles;

}  // namespace

void CirclePath::Find(std::span<const float> cost, int depth, float stiff, std::array<float, kAngles>& path) {
  const auto size = static_cast<std::size_t>(depth);
  constexpr float kFar = 1e30f;
  // Two samples of margin at both ends, so that the inner loop needs no test.
  sum_.assign(size + 4, kFar);
  next_.assign(size + 4, kFar);
  came_.resize(size * kTurns);
  for (std::size_t i = 0; i < size; ++i) sum_[i + 2] = cost[i];
  const float one = stiff, two = 4.0f * stiff;
  for (int turn = 1; turn < kTurns; ++turn) {
    const float* here = &cost[static_cast<std::size_t>(turn % kAngles) * size];
    std::int8_t* came = &came_[static_cast<std::size_t>(turn) * size];
    for (std::size_t i = 0; i < size; ++i) {
      const float* s = &sum_[i + 2];
      float best = s[0];
      std::int8_t from = 0;
      // Neighbouring rays lie at most two samples apart.
      const float a = s[-1] + one, b = s[1] + one, c = s[-2] + two, d = s[2] + two;
      from = a < best ? std::int8_t{-1} : from;
      best = a < best ? a : best;
      from = b < best ? std::int8_t{1} : from;
      best = b < best ? b : best;
      from = c < best ? std::int8_t{-2} : from;
      best = c < best ? c : best;
      from = d < best ? std::int8_t{2} : from;
      best = d < best ? d : best;
      next_[i + 2] = best + here[i];
      came[i] = from;
    }
    std::swap(sum_, next_);
  }
  // From the end of the second turn back through it and half of the first; the half beyond the seam is kept from the
  // later pass, where the path has forgotten how it began.
  auto at = std::min_element(sum_.begin() + 2, sum_.end() - 2) - sum_.begin() - 2;
  for (int turn = kTurns - 1; turn >= kAngles / 2; --turn) {
    if (turn < kTurns - kAngles / 2) path[static_cast<std::size_t>(turn % kAngles)] = static_cast<float>(at);
    if (turn > 0) at += came_[static_cast<std::size_t>(turn) * size + static_cast<std::size_t>(at)];
    at = std::clamp<std::ptrdiff_t>(at, 0, static_cast<std::ptrdiff_t>(size) - 1);
  }
}

}  // namespace fairlead
