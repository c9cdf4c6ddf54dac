// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/border_cost.h"

#include <algorithm>
#include <cmath>

#include "imaging/pullback/border_level.h"
#include "imaging/pullback/border_rays.h"

namespace fairlead {
namespace {

constexpr double kShadowDrop = 35.0;             // grey levels below what is usual behind the wall
constexpr float kExpected = 4.0f;                // samples that this expectation weighs
constexpr double kWireFrom = 0.3, kWireTo = 0.6; // mm beyond ring-down where the shadow of a wire at the catheter lies already; chosen
constexpr double kDarkerThanBlood = 20.0;        // grey levels: shadow and not blood; chosen
constexpr int kWireWidth = 2;                    // rays on each side that its echo spreads over
constexpr float kClearBand = 14.0f;              // grey levels by which the band is darker than both sides; chosen
constexpr int kTogether = 4;                     // rays on each side that say together whether it is
constexpr double kEdgeWide = 0.06, kEdgeTo = 0.2, kBehindFrom = 0.22, kBehindTo = 0.42;  // mm behind the step; chosen
constexpr double kWallWide = 0.4;                // mm on both sides of a border that are compared
constexpr int kWallTogether = 8;                 // rays on each side
constexpr double kWallStep = 0.35;               // of the step from blood to plaque; chosen
constexpr float kContrast = 20.0f;               // grey levels that count 1

// A running sum along each ray, of a picture softened over neighbouring rays (1 2 1).
void SumAlong(const std::vector<float>& from, int depth, std::vector<float>& sums) {
  for (int ray = 0; ray < kAngles; ++ray) {
    const float* left = &from[SampleAt((ray + kAngles - 1) % kAngles, 0, depth)];
    const float* here = &from[SampleAt(ray, 0, depth)];
    const float* right = &from[SampleAt((ray + 1) % kAngles, 0, depth)];
    float* sum = &sums[static_cast<std::size_t>(ray) * static_cast<std::size_t>(depth + 1)];
    sum[0] = 0.0f;
    for (int i = 0; i < depth; ++i) sum[i + 1] = sum[i] + 0.25f * (left[i] + 2.0f * here[i] + right[i]);
  }
}

}  // namespace

BorderCosts::BorderCosts(int depth)
    : mean(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(depth)), still(mean.size()), lumen(mean.size()), eem(mean.size()),
      sum_mean(mean.size() + kAngles), sum_still(sum_mean.size()) {}

void CostsFromPicture(const Polar& polar, const CostRule& rule, BorderCosts& costs) {
  const int depth = polar.depth, first = rule.first, media = rule.media;
  const int wide = std::max(3, static_cast<int>(0.3 / polar.step_mm)), flank = std::max(3, static_cast<int>(0.2 / polar.step_mm));
  const auto bright = static_cast<float>(rule.levels.adventitia + 8.0);  // calcium is no better wall than wall
  for (int ray = 0; ray < kAngles; ++ray) {
    float* still = &costs.still[SampleAt(ray, 0, depth)];
    float* mean = &costs.mean[SampleAt(ray, 0, depth)];
    for (int i = 0; i < depth; ++i) {
      const auto at = static_cast<std::size_t>(i);
      still[i] = Unrung(std::min(mean[i], bright) - kFlicker * still[i], rule.ring->still[at], rule.blood_still);
      // Blood between ring-down and tissue would look like the media's dark band.
      mean[i] = Unrung(mean[i], rule.ring->mean[at], static_cast<float>(rule.levels.blood));
    }
  }
  SumAlong(costs.mean, depth, costs.sum_mean);
  SumAlong(costs.still, depth, costs.sum_still);
  std::fill(costs.lumen.begin(), costs.lumen.end(), kNever);
  std::fill(costs.eem.begin(), costs.eem.end(), kNever);
  for (int ray = 0; ray < kAngles; ++ray) {
    const std::size_t row = static_cast<std::size_t>(ray) * static_cast<std::size_t>(depth + 1);
    const float* still = &costs.sum_still[row];
    const float* mean = &costs.sum_mean[row];
    for (int i = first + 1; i < depth - wide; ++i) {
      const int back = std::min(wide, i - first);
      // Where ring-down leaves little to look at, blood is expected to look as elsewhere in the pullback: as much of it as
      // of wall, so that the border lies half way up the step however near the catheter it is.
      const float expected = std::max(kExpected, static_cast<float>(wide - back));
      const float before = (still[i] - still[i - back] + expected * rule.blood_still) / (static_cast<float>(back) + expected), after = (still[i + wide] - still[i]) / static_cast<float>(wide);
      costs.lumen[SampleAt(ray, i, depth)] = -std::clamp((after - before) / kContrast, -2.0f, 8.0f);
    }
    for (int i = first + media + flank; i < depth - flank; ++i) {
      const float band = (mean[i - 1] - mean[i - media + 1]) / static_cast<float>(media - 2);
      const float outer = (mean[i + flank] - mean[i]) / static_cast<float>(flank);
      const float inner = (mean[i - media] - mean[i - media - flank]) / static_cast<float>(flank);
      // Inside the media lies tissue, which is still: a dark band behind blood is none.
      const float tissue = (still[i - media] - still[i - media - flank]) / static_cast<float>(flank) - rule.blood_still;
      costs.eem[SampleAt(ray, i, depth)] = -std::clamp((outer - band) / kContrast, -1.0f, 2.0f) - std::clamp(std::min(inner - band, tissue) / kContrast, -1.0f, 2.0f);
    }
  }
}

std::array<float, kAngles> LiningBehind(const Polar& polar, const std::vector<float>& sum_mean, const std::array<float, kAngles>& lumen) {
  constexpr int kPlaces = 8;
  const auto samples = [&](double mm) { return static_cast<int>(std::lround(mm / polar.step_mm)); };
  const int wide = std::max(1, samples(kEdgeWide)), last = samples(kEdgeTo), behind = std::max(last, samples(kBehindFrom)), end = std::max(behind + 1, samples(kBehindTo));
  std::array<std::array<float, kPlaces + 1>, kAngles> each{};  // the edge at places behind the step, then what lies behind it
  for (int ray = 0; ray < kAngles; ++ray) {
    const float* sum = &sum_mean[static_cast<std::size_t>(ray) * static_cast<std::size_t>(polar.depth + 1)];
    const int at = std::clamp(static_cast<int>(std::lround(lumen[static_cast<std::size_t>(ray)])), 0, polar.depth - end);
    auto& mine = each[static_cast<std::size_t>(ray)];
    for (int place = 0; place < kPlaces; ++place) {
      const int from = at + (last - wide) * place / (kPlaces - 1);
      mine[static_cast<std::size_t>(place)] = (sum[from + wide] - sum[from]) / static_cast<float>(wide);
    }
    mine[kPlaces] = (sum[at + end] - sum[at + behind]) / static_cast<float>(end - behind);
  }
  std::array<float, kAngles> lining{};
  for (int ray = 0; ray < kAngles; ++ray) {
    std::array<float, kPlaces + 1> together{};
    for (int offset = -kTogether; offset <= kTogether; ++offset) {
      for (std::size_t i = 0; i <= kPlaces; ++i) together[i] += each[static_cast<std::size_t>((ray + offset + kAngles) % kAngles)][i];
    }
    lining[static_cast<std::size_t>(ray)] = (*std::max_element(together.begin(), together.end() - 1) - together[kPlaces]) / (2 * kTogether + 1);
  }
  return lining;
}

double WallessShare(const Polar& polar, const CostRule& rule, const std::vector<float>& sum_mean, const std::array<float, kAngles>& lumen) {
  const int gap = static_cast<int>(std::lround(0.03 / polar.step_mm)), wide = static_cast<int>(std::lround(kWallWide / polar.step_mm));
  std::array<double, kAngles> step{};
  for (int ray = 0; ray < kAngles; ++ray) {
    const float* sum = &sum_mean[static_cast<std::size_t>(ray) * static_cast<std::size_t>(polar.depth + 1)];
    const int at = std::clamp(static_cast<int>(std::lround(lumen[static_cast<std::size_t>(ray)])), 0, polar.depth - wide);
    const int from = std::max(rule.first, at - wide), to = at - gap;
    const double before = to - from >= 2 ? static_cast<double>(sum[to] - sum[from]) / (to - from) : rule.levels.blood;
    step[static_cast<std::size_t>(ray)] = static_cast<double>(sum[at + wide] - sum[at + gap]) / (wide - gap) - before;
  }
  int without = 0;
  for (int ray = 0; ray < kAngles; ++ray) {
    double together = 0.0;
    for (int offset = -kWallTogether; offset <= kWallTogether; ++offset) together += step[static_cast<std::size_t>((ray + offset + kAngles) % kAngles)];
    without += together < kWallStep * (rule.levels.plaque - rule.levels.blood) * (2 * kWallTogether + 1) ? 1 : 0;
  }
  return static_cast<double>(without) / kAngles;
}

void CostsFromPoints(const Polar& polar, const std::vector<BorderPoint>& points, int frame, BorderCosts& costs) {
  for (const BorderPoint& point : points) {
    const int away = std::abs(point.frame - frame);
    if (away > kPinned) continue;
    const double ray = point.angle_deg / 360.0 * kAngles;
    for (int offset = -8; offset <= 8; ++offset) {
      const int k = ((static_cast<int>(std::lround(ray)) + offset) % kAngles + kAngles) % kAngles;
      const double weight = 4.0 * (1.0 - away / (kPinned + 1.0)) * std::exp(-offset * offset / 18.0);
      float* cost = &(point.media ? costs.eem : costs.lumen)[SampleAt(k, 0, polar.depth)];
      for (int i = 0; i < polar.depth; ++i) {
        const double d = i - point.distance_mm / polar.step_mm;
        if (cost[i] >= kNever) cost[i] = 0.0f;  // a person may see where we cannot
        cost[i] += static_cast<float>(weight * std::min(900.0, d * d));
      }
    }
  }
}

BorderFrame WithShadows(const Polar& polar, const CostRule& rule, const std::vector<float>& mean_grey, const BorderFrame& borders) {
  const GreyLevels& levels = rule.levels;
  BorderFrame result = borders;
  std::vector<float> behind(kAngles), wall(kAngles), close(kAngles);
  const double begins = rule.first * polar.step_mm;
  const auto mean = [&](int ray, double from_mm, double to_mm) {
    const int from = std::clamp(static_cast<int>(from_mm / polar.step_mm), 0, polar.depth - 2);
    const int to = std::clamp(static_cast<int>(to_mm / polar.step_mm), from + 1, polar.depth - 1);
    float sum = 0.0f;
    for (int i = from; i < to; ++i) sum += mean_grey[SampleAt(ray, i, polar.depth)];
    return sum / static_cast<float>(to - from);
  };
  for (int ray = 0; ray < kAngles; ++ray) {
    const auto k = static_cast<std::size_t>(ray);
    behind[k] = mean(ray, static_cast<double>(borders.eem[k]) + 0.15, static_cast<double>(borders.eem[k]) + 1.0);
    wall[k] = mean(ray, static_cast<double>(borders.lumen[k]) + 0.02, static_cast<double>(borders.lumen[k]) + 0.3);
    close[k] = mean(ray, begins + kWireFrom, begins + kWireTo);
  }
  const double usual_behind = std::max(ShareBelow(behind, 0.7), levels.adventitia - 15.0), usual_wall = levels.plaque;
  for (int ray = 0; ray < kAngles; ++ray) {
    const auto k = static_cast<std::size_t>(ray);
    result.eem_seen[k] = static_cast<double>(behind[k]) > usual_behind - kShadowDrop ? 1 : 0;
    const bool dark_wall = static_cast<double>(wall[k]) < usual_wall - kShadowDrop;
    result.lumen_seen[k] = dark_wall && result.eem_seen[k] == 0 ? 0 : 1;
  }
  // A wire at the catheter: its echo looks like a border, and the border behind it is hidden.
  for (int ray = 0; ray < kAngles; ++ray) {
    const auto k = static_cast<std::size_t>(ray);
    if (result.eem_seen[k] != 0 || static_cast<double>(close[k]) > levels.blood - kDarkerThanBlood) continue;
    for (int offset = -kWireWidth; offset <= kWireWidth; ++offset) result.lumen_seen[static_cast<std::size_t>((ray + offset + kAngles) % kAngles)] = 0;
  }
  return result;
}

std::array<std::uint8_t, kAngles> ClearMedia(const Polar& polar, const std::vector<float>& mean, int media, const std::array<float, kAngles>& eem,
                                             const std::vector<BorderPoint>& points, int frame) {
  const int flank = std::max(3, static_cast<int>(0.2 / polar.step_mm));
  std::array<float, kAngles> inner{}, band{}, outer{};
  for (int ray = 0; ray < kAngles; ++ray) {
    const auto k = static_cast<std::size_t>(ray);
    const int at = std::clamp(static_cast<int>(eem[k]), media + flank, polar.depth - flank);
    const auto level = [&](int from, int to) {
      float sum = 0.0f;
      for (int i = from; i < to; ++i) sum += mean[SampleAt(ray, i, polar.depth)];
      return sum / static_cast<float>(std::max(1, to - from));
    };
    inner[k] = level(at - media - flank, at - media), band[k] = level(at - media + 1, at - 1), outer[k] = level(at, at + flank);
  }
  std::array<std::uint8_t, kAngles> clear{};
  for (int ray = 0; ray < kAngles; ++ray) {
    float in = 0.0f, dark = 0.0f, out = 0.0f;
    for (int offset = -kTogether; offset <= kTogether; ++offset) {
      const auto k = static_cast<std::size_t>((ray + offset + kAngles) % kAngles);
      in += inner[k], dark += band[k], out += outer[k];
    }
    clear[static_cast<std::size_t>(ray)] = std::min(in, out) - dark > kClearBand * (2 * kTogether + 1) ? 1 : 0;
  }
  for (const BorderPoint& point : points) {
    if (!point.media || std::abs(point.frame - frame) > kPinned) continue;
    const int ray = static_cast<int>(std::lround(point.angle_deg / 360.0 * kAngles));
    for (int offset = -8; offset <= 8; ++offset) clear[static_cast<std::size_t>(((ray + offset) % kAngles + kAngles) % kAngles)] = 1;
  }
  return clear;
}

}  // namespace fairlead
