// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/wire_beside.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace fairlead {
namespace {

constexpr int kLeastFrames = 3;
constexpr int kRaysBeside = 4;                 // on each side of the wire's, some 11 degrees
constexpr double kBand = 0.12, kFlank = 0.15;  // mm: the media's dark band, and tissue on both sides of it
constexpr double kEdge = 0.03;                 // mm between them
constexpr double kBefore = 0.3;                // mm before the wire that are compared with the other side
constexpr double kOtherSide = 80.0;            // degrees from the wire
constexpr double kBeforeWire = 0.06;           // mm in which the wire's own echo begins
// What the signs are worth, as natural logarithms of odds: chosen on invented pullbacks of seeds 2001 to 2012.
constexpr double kClearLine = 6.5, kPerGrey = 0.4;  // grey levels: from here on a line is seen
constexpr double kMostEvidence = 2.5;
constexpr double kNoRoom = 0.3, kPerGap = 6.0;      // mm: media and tissue on both sides of it need more
constexpr double kLittle = 0.5;
constexpr double kPlaque = 9.0, kPerDarker = 0.3;   // grey levels: half way between adventitia and plaque
constexpr double kMostTissue = 2.2, kMostTogether = 3.5;

}  // namespace

std::optional<MediaBetween> MediaBetweenIn(const Polar& polar, const Borders& borders, const Wires& wires, int first, int last) {
  if (wires.second.frames.empty()) return std::nullopt;
  std::vector<double> sum(static_cast<std::size_t>(polar.depth));
  MediaBetween between;
  double from = 0.0, to = 0.0, rays = 0.0;
  for (int frame = first; frame <= last; ++frame) {
    const auto f = static_cast<std::size_t>(frame);
    const WireEcho& wire = wires.second.frames[f];
    if (!wire.seen || borders.too_bright[f] || borders.blank[f]) continue;
    ++between.frames;
    const int middle = static_cast<int>(std::lround(wire.angle_deg / 360.0 * kAngles));
    for (int offset = -kRaysBeside; offset <= kRaysBeside; ++offset) {
      const int ray = ((middle + offset) % kAngles + kAngles) % kAngles;
      const auto grey = polar.Ray(frame, ray);
      for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += grey[i];
      rays += 1.0;
      from += static_cast<double>(borders.frames[f].lumen[static_cast<std::size_t>(ray)]);
      to += wire.distance_mm;
    }
  }
  if (between.frames < kLeastFrames) return std::nullopt;
  from /= rays, to /= rays;
  between.gap_mm = to - from;
  const auto mean = [&](double a, double b) {
    const int begin = std::clamp(static_cast<int>(std::lround(a / polar.step_mm)), 0, polar.depth - 2);
    const int end = std::clamp(static_cast<int>(std::lround(b / polar.step_mm)), begin + 1, polar.depth - 1);
    double total = 0.0;
    for (int i = begin; i < end; ++i) total += sum[static_cast<std::size_t>(i)];
    return total / rays / (end - begin);
  };
  for (double r = from + kEdge + kFlank; r + kBand + kEdge + kFlank <= to - kBeforeWire; r += polar.step_mm) {
    const double darker = std::min(mean(r - kEdge - kFlank, r - kEdge), mean(r + kBand + kEdge, r + kBand + kEdge + kFlank)) - mean(r, r + kBand);
    between.contrast = std::max(between.contrast, darker);
  }
  // Plaque is darker than adventitia, which lies at that depth on the side away from the vessel.
  std::vector<double> other;
  for (int ray = 0; ray < kAngles; ++ray) {
    double total = 0.0;
    int samples = 0;
    for (int frame = first; frame <= last; ++frame) {
      const auto f = static_cast<std::size_t>(frame);
      const WireEcho& wire = wires.second.frames[f];
      if (!wire.seen || borders.too_bright[f] || borders.blank[f]) continue;
      if (std::abs(std::remainder(wire.angle_deg - ray * 360.0 / kAngles, 360.0)) < kOtherSide) continue;
      const auto grey = polar.Ray(frame, ray);
      const int begin = std::max(0, static_cast<int>((wire.distance_mm - kBefore) / polar.step_mm)), end = std::min(polar.depth, static_cast<int>((wire.distance_mm - kBeforeWire) / polar.step_mm));
      for (int i = begin; i < end; ++i) total += grey[static_cast<std::size_t>(i)], ++samples;
    }
    if (samples > 0) other.push_back(total / samples);
  }
  if (!other.empty()) {
    const auto middle = other.begin() + static_cast<std::ptrdiff_t>(other.size() * 6 / 10);
    std::nth_element(other.begin(), middle, other.end());
    between.darker = *middle - mean(std::max(from, to - kBefore), to - kBeforeWire);
  }
  return between;
}

double InsideFromBeside(const MediaBetween& between) {
  const double line = std::min(kMostEvidence, kPerGrey * (between.contrast - kClearLine));
  // Where there is room for a media, not to see it says little: it may touch the channel, dark beside dark.
  const double none = std::clamp(-kMostEvidence + kPerGap * (between.gap_mm - kNoRoom), -kMostEvidence, -kLittle);
  const double tissue = std::clamp(kPerDarker * (between.darker - kPlaque), -kMostTissue, kMostTissue);
  return 1.0 / (1.0 + std::exp(-std::clamp((line > 0.0 ? line : none) + tissue, -kMostTogether, kMostTogether)));
}

}  // namespace fairlead
