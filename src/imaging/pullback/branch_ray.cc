// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/branch_ray.h"

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

constexpr double kOutFrom = 0.15, kOutTo = 0.8;          // mm beyond the media: adventitia, or a branch's blood
constexpr double kBloodWithin = 0.35;                    // of the step from blood to plaque, above blood; chosen
constexpr double kFaded = 0.8;                           // of the same step, below blood: the beam has weakened; a shadow is darker; chosen
constexpr double kTissue = 0.75, kNoTissue = 0.5;        // of the same step: tissue on the way, none; chosen
constexpr double kStep = 0.1;                            // mm over which a ray is averaged on its way out
constexpr double kLeastStep = 15.0;                      // grey levels; with less between blood and plaque nothing is told; chosen
constexpr int kNarrowest = 3, kWidest = 28;              // rays: 8 to 80 degrees; chosen

}  // namespace

std::array<BranchRay, kAngles> BranchRaysOf(const Polar& polar, const CostRule& rule, const std::vector<float>& sum_mean, const std::array<float, kAngles>& eem) {
  std::array<BranchRay, kAngles> ways{};
  const double blood = rule.levels.blood, step = rule.levels.plaque - blood;
  if (step < kLeastStep) return ways;
  const auto samples = [&](double mm) { return static_cast<int>(std::lround(mm / polar.step_mm)); };
  const int wide = std::max(1, samples(kStep)), from = samples(kOutFrom), to = samples(kOutTo);
  for (int ray = 0; ray < kAngles; ++ray) {
    const float* sum = &sum_mean[static_cast<std::size_t>(ray) * static_cast<std::size_t>(polar.depth + 1)];
    const auto mean = [&](int first, int last) { return static_cast<double>(sum[last] - sum[first]) / (last - first); };
    const int media = static_cast<int>(std::lround(eem[static_cast<std::size_t>(ray)]));
    if (media + to >= polar.depth) continue;
    const double out = mean(media + from, media + to);
    if (out > blood + kBloodWithin * step || out < blood - kFaded * step) continue;
    double most = -1.0;
    for (int i = rule.first + wide; i + wide < media; i += std::max(1, wide / 2)) most = std::max(most, mean(i, i + wide));
    BranchRay& way = ways[static_cast<std::size_t>(ray)];
    if (most >= 0.0 && most < blood + kNoTissue * step) way = BranchRay::kOpen;
    else if (most > blood + kTissue * step) way = BranchRay::kBeyond;
  }
  return ways;
}

int WidestBranch(const std::array<BranchRay, kAngles>& ways, BranchRay kind) {
  int best = 0, run = 0;
  for (int i = 0; i < 2 * kAngles; ++i) {
    run = ways[static_cast<std::size_t>(i % kAngles)] == kind ? run + 1 : 0;
    best = std::max(best, run);
  }
  return best >= kNarrowest && best <= kWidest ? best : 0;
}

}  // namespace fairlead
