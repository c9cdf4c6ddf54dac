// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/border_level.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "imaging/pullback/border_rays.h"
#include "measure/normal.h"

namespace fairlead {
namespace {

constexpr double kEdgeFrom = 0.04, kEdgeWide = 0.06;  // mm behind the border; chosen: past the step itself
constexpr double kSpeckleDecibels = 5.57;        // sd of the logarithm of a Rayleigh envelope: pi / sqrt(24) * 20 / ln 10

struct Speckle {
  double sd = 0.0, half_mm = 0.0;
};

Speckle SpeckleBehindTheWall(const Polar& polar, const Borders& borders) {
  constexpr int kLags = 16;
  std::array<double, kLags> product{};
  const int length = static_cast<int>(0.6 / polar.step_mm);
  const int step = std::max(1, polar.frames / 20);
  int count = 0;
  for (int frame = 0; frame < polar.frames; frame += step) {
    if (borders.too_bright[static_cast<std::size_t>(frame)]) continue;
    const BorderFrame& now = borders.frames[static_cast<std::size_t>(frame)];
    for (int ray = 0; ray < kAngles; ray += 3) {
      const auto k = static_cast<std::size_t>(ray);
      const int from = static_cast<int>((static_cast<double>(now.eem[k]) + 0.15) / polar.step_mm);
      if (now.eem_seen[k] == 0 || from + length + kLags >= polar.depth) continue;
      const auto grey = polar.Ray(frame, ray).subspan(static_cast<std::size_t>(from));
      double mean = 0.0;
      for (int i = 0; i < length + kLags; ++i) mean += grey[static_cast<std::size_t>(i)];
      mean /= length + kLags;
      for (int lag = 0; lag < kLags; ++lag) {
        for (int i = 0; i < length; ++i) product[static_cast<std::size_t>(lag)] += (grey[static_cast<std::size_t>(i)] - mean) * (grey[static_cast<std::size_t>(i + lag)] - mean);
      }
      count += length;
    }
  }
  if (count == 0 || product[0] <= 0.0) return {};
  Speckle found{std::sqrt(product[0] / count), 0.0};
  for (std::size_t lag = 1; lag < kLags; ++lag) {
    const double before = product[lag - 1] / product[0], here = product[lag] / product[0];
    if (here > 0.5) continue;
    found.half_mm = (static_cast<double>(lag - 1) + (before - 0.5) / std::max(1e-9, before - here)) * polar.step_mm;
    break;
  }
  return found;
}

// How bright the wall is where it begins: often brighter than the plaque behind it. At least the plaque's level.
double EdgeLevel(const Polar& polar, const Borders& borders) {
  std::vector<float> edge, mean(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar.depth));
  const int step = std::max(1, polar.frames / 20), from = std::max(1, static_cast<int>(kEdgeFrom / polar.step_mm + 0.5)), wide = std::max(1, static_cast<int>(kEdgeWide / polar.step_mm + 0.5));
  for (int frame = 0; frame < polar.frames; frame += step) {
    MeanOverFrames(polar, borders.too_bright, frame, mean);
    const BorderFrame& now = borders.frames[static_cast<std::size_t>(frame)];
    for (int ray = 0; ray < kAngles; ray += 2) {
      const auto k = static_cast<std::size_t>(ray);
      const int first = static_cast<int>(static_cast<double>(now.lumen[k]) / polar.step_mm + 0.5) + from;
      if (now.lumen_seen[k] == 0 || first + wide >= polar.depth) continue;
      float sum = 0.0f;
      for (int i = first; i < first + wide; ++i) sum += mean[SampleAt(ray, i, polar.depth)];
      edge.push_back(sum / static_cast<float>(wide));
    }
  }
  return std::max(borders.levels.plaque, ShareBelow(std::move(edge), 0.5));
}

// Greys of the four layers, gathered frame by frame.
struct Layers {
  std::vector<float> blood, restless, plaque, media, adventitia;
};

}  // namespace

double ShareBelow(std::vector<float> values, double share) {
  if (values.empty()) return 0.0;
  const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), values.begin() + at, values.end());
  return static_cast<double>(values[static_cast<std::size_t>(at)]);
}

GreyLevels FirstLevels(const Polar& polar, const std::vector<bool>& too_bright, int first) {
  std::vector<float> all;
  const int step = std::max(1, polar.frames / 40);
  std::vector<float> mean(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar.depth));
  for (int frame = 0; frame < polar.frames; frame += step) {
    MeanOverFrames(polar, too_bright, frame, mean);
    const int far = std::min(polar.depth, first + static_cast<int>(2.0 / polar.step_mm));
    for (int ray = 0; ray < kAngles; ray += 4) {
      for (int i = first; i < far; ++i) all.push_back(mean[SampleAt(ray, i, polar.depth)]);
    }
  }
  const double dark = ShareBelow(all, 0.15), bright = ShareBelow(all, 0.75);
  return {dark, bright - 0.15 * (bright - dark), dark + 0.2 * (bright - dark), bright};
}

LevelsFound LevelsBetween(const Polar& polar, const Borders& borders, const LevelsFound& before, int first, int media, bool by_seen) {
  Layers layers;
  const RingDown& ring = borders.ring_down;
  const std::size_t size = static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar.depth);
  std::vector<float> mean(size), change(size);
  const int step = std::max(1, polar.frames / 40);
  for (int frame = 0; frame < polar.frames; frame += step) {
    MeanOverFrames(polar, borders.too_bright, frame, mean);
    ChangeOverFrames(polar, borders.too_bright, frame, change);
    const BorderFrame& now = borders.frames[static_cast<std::size_t>(frame)];
    for (int ray = 0; ray < kAngles; ray += 2) {
      const auto k = static_cast<std::size_t>(ray);
      if (by_seen && (now.eem_seen[k] == 0 || now.lumen_seen[k] == 0)) continue;
      const int lumen = static_cast<int>(static_cast<double>(now.lumen[k]) / polar.step_mm), eem = static_cast<int>(static_cast<double>(now.eem[k]) / polar.step_mm);
      for (int i = first; i < std::min(polar.depth, eem + 30); ++i) {
        const float v = mean[SampleAt(ray, i, polar.depth)];
        const auto at = static_cast<std::size_t>(i);
        if (i < lumen - 2) layers.blood.push_back(v - ring.mean[at]), layers.restless.push_back(v - kFlicker * change[SampleAt(ray, i, polar.depth)] - ring.still[at]);
        else if (i > lumen + 3 && i < eem - media - 2) layers.plaque.push_back(v);
        else if (i >= eem - media + 2 && i < eem - 2) layers.media.push_back(v);
        else if (i > eem + 3) layers.adventitia.push_back(v);
      }
    }
  }
  LevelsFound found = before;
  GreyLevels& levels = found.levels;
  if (layers.blood.size() > 200) levels.blood = ShareBelow(layers.blood, 0.5), found.blood_still = static_cast<float>(ShareBelow(layers.restless, 0.5));
  if (layers.plaque.size() > 200) levels.plaque = ShareBelow(layers.plaque, 0.5);
  if (layers.media.size() > 200) levels.media = ShareBelow(layers.media, 0.5);
  if (layers.adventitia.size() > 200) levels.adventitia = ShareBelow(layers.adventitia, 0.5);
  // Layers that cannot be told apart are kept apart, so that the fit still has an order.
  levels.plaque = std::max(levels.plaque, levels.blood + 12.0);
  levels.media = std::min(levels.media, std::min(levels.plaque, levels.adventitia) - 12.0);
  return found;
}

double SpillOf(const Polar& polar, const Borders& borders) {
  const Speckle speckle = SpeckleBehindTheWall(polar, borders);
  if (speckle.sd < 4.0 || speckle.half_mm <= 0.0) return 0.0;
  const double decibels = std::clamp((EdgeLevel(polar, borders) - borders.levels.blood) * kSpeckleDecibels / speckle.sd, 0.0, 40.0);
  const double field = speckle.half_mm / 1.1774, power = field / std::numbers::sqrt2;   // Gaussian: alike by half at 1.1774 sd
  const double dark = std::pow(10.0, -decibels / 10.0), share = (std::sqrt(dark) - dark) / std::max(1e-9, 1.0 - dark);
  double low = -4.0, high = 0.0;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (low + high);
    (NormalCdf(middle, 0.0, 1.0) < share ? low : high) = middle;
  }
  return -low * power;
}

}  // namespace fairlead
