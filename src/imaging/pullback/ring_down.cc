// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/ring_down.h"

#include <algorithm>

#include "imaging/pullback/border_level.h"

namespace fairlead {
namespace {

constexpr double kReach = 0.6;                   // mm from the catheter's wall in which ring-down is looked for; as far as CatheterRing does
constexpr double kFar = 1.0;                     // mm beyond, by whose brightness shadows are left out
constexpr double kShadow = 35.0;                 // grey levels below the usual ray; as borders take shadows
constexpr double kDarkShare = 0.2;               // of rays and frames: as dark as blood looks at that depth; chosen

float FarMean(const std::vector<float>& mean, int ray, int from, int to, int depth) {
  float sum = 0.0f;
  for (int i = from; i < to; ++i) sum += mean[SampleAt(ray, i, depth)];
  return sum / static_cast<float>(std::max(1, to - from));
}

// Falls from the catheter outwards, as ring-down does; what rises again is tissue.
float Falling(std::vector<float>& values, int first, int last) {
  for (int i = first + 1; i < last; ++i) values[static_cast<std::size_t>(i)] = std::min(values[static_cast<std::size_t>(i)], values[static_cast<std::size_t>(i - 1)]);
  const float rest = values[static_cast<std::size_t>(last - 1)];
  for (int i = first; i < last; ++i) values[static_cast<std::size_t>(i)] -= rest;
  return rest;
}

}  // namespace

RingDown RingDownOf(const Polar& polar, const std::vector<bool>& too_bright, int edge) {
  const int depth = polar.depth;
  const int first = std::min(edge + 1, depth - 2), last = std::clamp(edge + static_cast<int>(kReach / polar.step_mm), first + 1, depth - 1);
  const int far = std::min(depth, last + static_cast<int>(kFar / polar.step_mm));
  const std::size_t size = static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(depth);
  std::vector<float> mean(size), change(size);
  std::vector<std::vector<float>> greys(static_cast<std::size_t>(last - first)), stills(greys.size());
  const int step = std::max(1, polar.frames / 40);
  for (int frame = 0; frame < polar.frames; frame += step) {
    MeanOverFrames(polar, too_bright, frame, mean);
    ChangeOverFrames(polar, too_bright, frame, change);
    std::vector<float> beyond(kAngles);
    for (int ray = 0; ray < kAngles; ++ray) beyond[static_cast<std::size_t>(ray)] = FarMean(mean, ray, last, far, depth);
    const double lit = ShareBelow(beyond, 0.7) - kShadow;
    for (int ray = 0; ray < kAngles; ray += 2) {
      if (static_cast<double>(beyond[static_cast<std::size_t>(ray)]) < lit) continue;
      const int left = (ray + kAngles - 1) % kAngles, right = (ray + 1) % kAngles;
      for (int i = first; i < last; ++i) {
        const auto soft = [&](const std::vector<float>& of) { return 0.25f * (of[SampleAt(left, i, depth)] + 2.0f * of[SampleAt(ray, i, depth)] + of[SampleAt(right, i, depth)]); };
        const float grey = soft(mean);
        greys[static_cast<std::size_t>(i - first)].push_back(grey);
        stills[static_cast<std::size_t>(i - first)].push_back(grey - kFlicker * soft(change));
      }
    }
  }
  RingDown ring{std::vector<float>(static_cast<std::size_t>(depth)), std::vector<float>(static_cast<std::size_t>(depth))};
  for (int i = first; i < last; ++i) {
    ring.mean[static_cast<std::size_t>(i)] = static_cast<float>(ShareBelow(std::move(greys[static_cast<std::size_t>(i - first)]), kDarkShare));
    ring.still[static_cast<std::size_t>(i)] = static_cast<float>(ShareBelow(std::move(stills[static_cast<std::size_t>(i - first)]), kDarkShare));
  }
  ring.rest_mean = Falling(ring.mean, first, last);
  ring.rest_still = Falling(ring.still, first, last);
  return ring;
}

}  // namespace fairlead
