// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/space_range.h"

#include <algorithm>
#include <cmath>

#include "imaging/pullback/blank.h"
#include "measure/normal.h"

namespace fairlead {
namespace {

constexpr int kRange = 10;                  // frames
constexpr int kSectors = 16, kRaysEach = kAngles / kSectors;
constexpr double kMedia = 0.15, kFlank = 0.2;  // mm, as the borders take them
constexpr double kClear = 14.0;             // grey levels by which a band is darker than both sides; chosen
// Odds of "inside" from the share of clear sectors: chosen, not fitted. docs/methods-ultrasound.md shows what they are
// worth on invented pullbacks. A media that is lost in noise is no sign of lying outside: below one half the odds count only
// as far as bright tissue is seen to begin at the channel, over most of a ring of which little is hidden.
constexpr double kMiddle = 0.62, kSlope = 14.0;
constexpr double kBareLeast = 0.45, kBareEnough = 0.65;  // share that is bare: nothing follows from it; all of it counts
constexpr double kRingLeast = 0.5, kRingEnough = 0.9;    // share that is seen, the same
constexpr int kLeastFrames = 3;             // in which the second wire is seen
constexpr double kLeastSeen = 0.5;          // with less of the ring seen nothing is said

double Mean(std::span<const std::uint8_t> grey, double from, double to, double step) {
  const int first = std::clamp(static_cast<int>(std::lround(from / step)), 0, static_cast<int>(grey.size()) - 2);
  const int last = std::clamp(static_cast<int>(std::lround(to / step)), first + 1, static_cast<int>(grey.size()) - 1);
  double sum = 0.0;
  for (int i = first; i < last; ++i) sum += grey[static_cast<std::size_t>(i)];
  return sum / (last - first);
}

constexpr double kWallFrom = 0.25, kWallTo = 0.55;  // mm behind the channel's border: past the bright edge that any border has
constexpr int kFartherSteps = 6;                    // of kFartherStep each, in which the brightest tissue farther out is looked for
constexpr double kFartherStep = 0.25;               // mm
constexpr double kAsBright = 10.0;                  // grey levels; chosen

struct Sector {
  double inner = 0, band = 0, outer = 0, wall = 0;
  std::array<double, kFartherSteps> farther{};
  int rays = 0;
};

void MeasureRing(const Polar& polar, const Borders& borders, SpaceRange& range) {
  std::array<Sector, kSectors> sectors{};
  int looked = 0;
  for (int frame = range.first; frame <= range.last; ++frame) {
    if (borders.too_bright[static_cast<std::size_t>(frame)]) continue;
    ++looked;
    const BorderFrame& now = borders.frames[static_cast<std::size_t>(frame)];
    for (int ray = 0; ray < kAngles; ++ray) {
      const auto k = static_cast<std::size_t>(ray);
      if (now.eem_seen[k] == 0) continue;
      const auto grey = polar.Ray(frame, ray);
      const auto eem = static_cast<double>(now.eem[k]);
      Sector& sector = sectors[static_cast<std::size_t>(ray / kRaysEach)];
      sector.outer += Mean(grey, eem, eem + kFlank, polar.step_mm);
      sector.band += Mean(grey, eem - kMedia + 0.02, eem - 0.02, polar.step_mm);
      sector.inner += Mean(grey, eem - kMedia - kFlank, eem - kMedia, polar.step_mm);
      const auto wall = static_cast<double>(now.lumen[k]);
      sector.wall += Mean(grey, wall + kWallFrom, wall + kWallTo, polar.step_mm);
      for (int i = 0; i < kFartherSteps; ++i) {
        const double from = wall + kWallTo + i * kFartherStep;
        sector.farther[static_cast<std::size_t>(i)] += Mean(grey, from, from + kFartherStep, polar.step_mm);
      }
      ++sector.rays;
    }
  }
  int seen = 0, clear = 0, bare = 0;
  const int most = kRaysEach * std::max(1, looked);
  for (const Sector& sector : sectors) {
    if (sector.rays * 2 < most) continue;
    ++seen;
    if (std::min(sector.inner, sector.outer) - sector.band > kClear * sector.rays) ++clear;
    const double d = (*std::ranges::max_element(sector.farther) - sector.wall) / sector.rays;
    if (std::abs(d) < kAsBright) ++bare;
  }
  range.seen_share = static_cast<double>(seen) / kSectors;
  range.media_share = seen > 0 ? static_cast<double>(clear) / seen : 0.0;
  range.bare_share = seen > 0 ? static_cast<double>(bare) / seen : 0.0;
}

// The second wire against the media's outer edge on its own ray, averaged over the range.
std::optional<double> WireInside(const std::vector<TissueReading>& tissue, const SpaceRange& range) {
  if (tissue.empty()) return std::nullopt;
  double beyond = 0.0, square = 0.0;
  int count = 0;
  for (int frame = range.first; frame <= range.last; ++frame) {
    const TissueReading& one = tissue[static_cast<std::size_t>(frame)];
    if (!one.seen) continue;
    ++count, beyond += one.beyond_media_mm, square += one.beyond_media_mm * one.beyond_media_mm;
  }
  if (count < kLeastFrames) return std::nullopt;
  beyond /= count, square /= count;
  const double spread = std::sqrt(std::max(0.0, square - beyond * beyond) + 0.08 * 0.08);  // 0.08 mm: echo and border
  return 0.02 + 0.96 * NormalCdf(-0.05, beyond, spread);
}

double CatheterInside(const SpaceRange& range) {
  const double inside = 0.02 + 0.96 / (1.0 + std::exp(-kSlope * (range.media_share - kMiddle)));
  if (inside >= 0.5) return inside;
  const double ring = std::clamp((range.seen_share - kRingLeast) / (kRingEnough - kRingLeast), 0.0, 1.0);
  const double weight = std::clamp((range.bare_share * ring - kBareLeast) / (kBareEnough - kBareLeast), 0.0, 1.0);
  return 0.5 + weight * (inside - 0.5);
}

}  // namespace

std::vector<SpaceRange> SpacesAlong(const Polar& polar, const Borders& borders, const Wires& wires) {
  const auto tissue = TissueBetween(borders, wires);
  std::vector<SpaceRange> ranges;
  for (int first = 0; first < polar.frames; first += kRange) {
    SpaceRange range;
    range.first = first;
    range.last = std::min(first + kRange, polar.frames) - 1;
    MeasureRing(polar, borders, range);
    if (range.seen_share >= kLeastSeen && CatheterSeen(borders)) range.catheter_inside = CatheterInside(range);
    if (range.catheter_inside >= 0.8) {
      const auto wire = WireInside(tissue, range);
      if (wire) range.wire_inside = *wire * range.catheter_inside + 0.5 * (1.0 - range.catheter_inside);
    }
    ranges.push_back(range);
  }
  return ranges;
}

}  // namespace fairlead
