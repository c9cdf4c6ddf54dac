// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/border_rays.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

namespace fairlead {
namespace {

constexpr int kWhite = 250;                      // grey levels from which a sample says nothing
constexpr double kMuchWhite = 0.02;              // of the samples within kLookedAt, beyond what is usual; chosen
constexpr double kLookedAt = 3.0;                // mm from the catheter's axis

double WhiteShare(const Polar& polar, int frame) {
  const auto last = static_cast<std::size_t>(std::min(polar.depth, static_cast<int>(kLookedAt / polar.step_mm)));
  std::size_t white = 0;
  for (int ray = 0; ray < kAngles; ++ray) {
    const auto grey = polar.Ray(frame, ray).first(last);
    white += static_cast<std::size_t>(std::ranges::count_if(grey, [](std::uint8_t one) { return one >= kWhite; }));
  }
  return static_cast<double>(white) / (kAngles * static_cast<double>(last));
}

// The frames within kAverage that are looked at: those that are not too bright, or all of them if none is.
struct Window {
  std::array<int, 2 * kAverage + 1> frames{};
  int count = 0;
};
Window WindowOf(int frames, const std::vector<bool>& too_bright, int frame) {
  Window window;
  const int from = std::max(0, frame - kAverage), to = std::min(frames - 1, frame + kAverage);
  for (int f = from; f <= to; ++f) {
    if (!too_bright[static_cast<std::size_t>(f)]) window.frames[static_cast<std::size_t>(window.count++)] = f;
  }
  if (window.count > 0) return window;
  for (int f = from; f <= to; ++f) window.frames[static_cast<std::size_t>(window.count++)] = f;
  return window;
}

}  // namespace

std::vector<bool> FramesTooBright(const Polar& polar) {
  std::vector<double> share(static_cast<std::size_t>(polar.frames));
  for (int frame = 0; frame < polar.frames; ++frame) share[static_cast<std::size_t>(frame)] = WhiteShare(polar, frame);
  std::vector<double> sorted = share;
  std::ranges::sort(sorted);
  const double most = kMuchWhite + 3.0 * sorted[sorted.size() / 4];
  std::vector<bool> bright(share.size());
  for (std::size_t f = 0; f < share.size(); ++f) bright[f] = share[f] > most;
  std::vector<bool> marked(share.size());
  for (int frame = 0; frame < polar.frames; ++frame) {
    bool better = false;
    for (int f = std::max(0, frame - kAverage); f <= std::min(polar.frames - 1, frame + kAverage); ++f) better = better || !bright[static_cast<std::size_t>(f)];
    marked[static_cast<std::size_t>(frame)] = bright[static_cast<std::size_t>(frame)] && better;
  }
  return marked;
}

void MeanOverFrames(const Polar& polar, const std::vector<bool>& too_bright, int frame, std::vector<float>& mean) {
  std::fill(mean.begin(), mean.end(), 0.0f);
  const Window window = WindowOf(polar.frames, too_bright, frame);
  for (int n = 0; n < window.count; ++n) {
    const std::uint8_t* grey = polar.Ray(window.frames[static_cast<std::size_t>(n)], 0).data();
    for (std::size_t i = 0; i < mean.size(); ++i) mean[i] += static_cast<float>(grey[i]);
  }
  const float share = 1.0f / static_cast<float>(window.count);
  for (float& value : mean) value *= share;
}

void ChangeOverFrames(const Polar& polar, const std::vector<bool>& too_bright, int frame, std::vector<float>& change) {
  std::fill(change.begin(), change.end(), 0.0f);
  const Window window = WindowOf(polar.frames, too_bright, frame);
  for (int n = 0; n + 1 < window.count; ++n) {
    const std::uint8_t* a = polar.Ray(window.frames[static_cast<std::size_t>(n)], 0).data();
    const std::uint8_t* b = polar.Ray(window.frames[static_cast<std::size_t>(n) + 1], 0).data();
    for (std::size_t i = 0; i < change.size(); ++i) change[i] += static_cast<float>(std::abs(static_cast<int>(a[i]) - static_cast<int>(b[i])));
  }
  const float share = window.count > 1 ? 1.0f / static_cast<float>(window.count - 1) : 0.0f;
  for (float& value : change) value *= share;
}

CatheterRing FindCatheterRing(const Polar& polar, const std::vector<bool>& too_bright) {
  const int depth = polar.depth;
  std::vector<int> frames;
  for (int f = 0; f < polar.frames; ++f) {
    if (!too_bright[static_cast<std::size_t>(f)]) frames.push_back(f);
  }
  std::vector<double> sum(static_cast<std::size_t>(depth)), change(static_cast<std::size_t>(depth));
  const std::size_t step = std::max<std::size_t>(1, frames.size() / 60);
  int count = 0;
  for (std::size_t at = 0; at + 1 < frames.size() || at == 0; at += step, ++count) {
    const std::size_t next = std::min(at + 1, frames.size() - 1);
    for (int ray = 0; ray < kAngles; ++ray) {
      const auto a = polar.Ray(frames[at], ray), b = polar.Ray(frames[next], ray);
      for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] += a[i];
        change[i] += std::abs(static_cast<int>(a[i]) - static_cast<int>(b[i]));
      }
    }
  }
  const double share = 1.0 / (static_cast<double>(kAngles) * std::max(1, count));
  double usual = 0.0;
  for (std::size_t i = 0; i < sum.size(); ++i) usual = std::max(usual, change[i] * share);
  CatheterRing ring;
  const int far = std::min(depth - 1, static_cast<int>(1.2 / polar.step_mm));
  while (ring.edge < far && sum[static_cast<std::size_t>(ring.edge)] * share < 12.0) ++ring.edge;
  if (ring.edge == far) ring.edge = 0;
  ring.still = ring.edge;
  const int most = std::min(depth - 1, ring.edge + static_cast<int>(0.6 / polar.step_mm));
  while (ring.still < most && frames.size() > 1 && change[static_cast<std::size_t>(ring.still)] * share < 0.5 * usual) ++ring.still;
  if (ring.still == most) ring.still = ring.edge;
  return ring;
}

}  // namespace fairlead
