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
constexpr double kSureSide = 0.8;           // of the catheter's side, so that the second wire's is told
constexpr double kStays = 0.94;             // chance that the next ten frames lie in the same space; chosen
constexpr double kNeighbour = 0.35;         // chosen
constexpr double kLeast = 0.01;             // no space is ever ruled out

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

// Within the channel's border, by more than what the border may be off.
bool InChannel(const std::vector<TissueReading>& tissue, const SpaceRange& range) {
  int within = 0, seen = 0;
  for (int frame = range.first; frame <= range.last; ++frame) {
    const TissueReading& one = tissue[static_cast<std::size_t>(frame)];
    if (one.seen) ++seen, within += one.thickness_mm <= 0.0;
  }
  return 2 * within > seen;
}

double RingInside(const SpaceRange& range) {
  const double inside = 0.02 + 0.96 / (1.0 + std::exp(-kSlope * (range.media_share - kMiddle)));
  if (inside >= 0.5) return inside;
  const double ring = std::clamp((range.seen_share - kRingLeast) / (kRingEnough - kRingLeast), 0.0, 1.0);
  const double weight = std::clamp((range.bare_share * ring - kBareLeast) / (kBareEnough - kBareLeast), 0.0, 1.0);
  return 0.5 + weight * (inside - 0.5);
}

using Triple = std::array<double, 3>;  // true lumen, plaque, outside

Triple Normal(Triple one) {
  const double sum = one[0] + one[1] + one[2];
  for (double& each : one) each /= sum;
  return one;
}

// Likelihoods of what is seen in a range. The ring tells inside from outside, the signs the true lumen from both others.
Triple Likelihood(const SpaceRange& range) {
  const double inside = range.ring_inside / 0.5, outside = (1.0 - range.ring_inside) / 0.5;
  return {inside * std::exp(LumenEvidence(range.signs)), inside, outside};
}

// One step along the pullback: most often the space stays.
Triple Step(const Triple& from) {
  Triple to{};
  for (std::size_t a = 0; a < 3; ++a) {
    for (std::size_t b = 0; b < 3; ++b) to[b] += from[a] * (a == b ? kStays : 0.5 * (1.0 - kStays));
  }
  return to;
}

// Neighbouring ranges share speckle, patches and shadows: of the logarithm of what they say a third counts.
void WithNeighbours(const std::vector<bool>& told, std::vector<SpaceRange>& ranges) {
  std::vector<Triple> seen(ranges.size(), Triple{1.0, 1.0, 1.0});
  for (std::size_t i = 0; i < ranges.size(); ++i) {
    if (told[i]) seen[i] = Likelihood(ranges[i]);
  }
  const auto pass = [&](bool backwards) {
    std::vector<Triple> says(ranges.size(), Triple{1.0, 1.0, 1.0});
    for (std::size_t n = 1; n < ranges.size(); ++n) {
      const std::size_t i = backwards ? ranges.size() - 1 - n : n, from = backwards ? i + 1 : i - 1;
      Triple now = says[from];
      for (std::size_t k = 0; k < 3; ++k) now[k] *= std::pow(seen[from][k], kNeighbour);
      says[i] = Step(Normal(now));
    }
    return says;
  };
  const auto before = pass(false), after = pass(true);
  for (std::size_t i = 0; i < ranges.size(); ++i) {
    if (!told[i]) continue;
    const SpaceChances prior;
    const Triple chance = Normal({prior.lumen * seen[i][0] * before[i][0] * after[i][0], prior.plaque * seen[i][1] * before[i][1] * after[i][1],
                                  prior.outside * seen[i][2] * before[i][2] * after[i][2]});
    for (std::size_t k = 0; k < 3; ++k) (k == 0 ? ranges[i].catheter.lumen : k == 1 ? ranges[i].catheter.plaque : ranges[i].catheter.outside) = kLeast + (1.0 - 3.0 * kLeast) * chance[k];
  }
}

// A wire in the vessel that stands in tissue is in plaque; one within the channel is where the catheter is.
SpaceChances WireFrom(const SpaceChances& catheter, double inside, bool in_channel) {
  SpaceChances wire;
  const double lumen = in_channel ? catheter.lumen / catheter.inside() : 0.0;
  wire.lumen = inside * lumen, wire.plaque = inside * (1.0 - lumen), wire.outside = 1.0 - inside;
  return wire;
}

}  // namespace

std::vector<SpaceRange> SpacesAlong(const Polar& polar, const Borders& borders, const Wires& wires) {
  const auto tissue = TissueBetween(borders, wires);
  std::vector<SpaceRange> ranges;
  std::vector<bool> told;
  const bool catheter = CatheterSeen(borders);
  for (int first = 0; first < polar.frames; first += kRange) {
    SpaceRange range;
    range.first = first;
    range.last = std::min(first + kRange, polar.frames) - 1;
    MeasureRing(polar, borders, range);
    told.push_back(range.seen_share >= kLeastSeen && catheter);
    if (told.back()) range.ring_inside = RingInside(range), range.signs = LumenSignsIn(borders, wires, range.first, range.last);
    ranges.push_back(range);
  }
  WithNeighbours(told, ranges);
  for (SpaceRange& range : ranges) {
    if (range.catheter.inside() >= kSureSide) {
      const auto wire = WireInside(tissue, range);
      if (wire) range.wire = WireFrom(range.catheter, *wire * range.catheter.inside() + 0.5 * range.catheter.outside, InChannel(tissue, range));
    } else if (range.catheter.outside >= kSureSide) {
      range.beside = MediaBetweenIn(polar, borders, wires, range.first, range.last);
      if (range.beside) range.wire = WireFrom(range.catheter, InsideFromBeside(*range.beside) * range.catheter.outside + 0.5 * range.catheter.inside(), false);
    }
  }
  return ranges;
}

}  // namespace fairlead
