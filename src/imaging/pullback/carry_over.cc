// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/carry_over.h"

#include <algorithm>

#include "imaging/pullback/border_rays.h"

namespace fairlead {
namespace {

constexpr double kMostWalless = 0.4;  // of the ring; chosen

// Of frames near a blank one the mean is noise, which says nothing of their wall.
bool NearBlank(const Borders& borders, int frame) {
  for (int f = std::max(0, frame - kAverage); f <= std::min(static_cast<int>(borders.blank.size()) - 1, frame + kAverage); ++f) {
    if (borders.blank[static_cast<std::size_t>(f)]) return true;
  }
  return false;
}

}  // namespace

void CarryOver(const std::vector<double>& walless, Borders& borders) {
  const auto all = static_cast<int>(borders.frames.size());
  borders.carried.assign(borders.frames.size(), false);
  for (int f = 0; f < all; ++f) {
    if (walless[static_cast<std::size_t>(f)] <= kMostWalless || NearBlank(borders, f)) continue;
    for (int g = std::max(0, f - kPinned); g <= std::min(all - 1, f + kPinned); ++g) borders.carried[static_cast<std::size_t>(g)] = true;
  }
  const auto nearest = [&](int from, int step) {
    while (from >= 0 && from < all && borders.carried[static_cast<std::size_t>(from)]) from += step;
    return from;
  };
  if (nearest(0, 1) == all) return borders.carried.assign(borders.carried.size(), false);  // nothing better is there
  for (int f = 0; f < all; ++f) {
    if (!borders.carried[static_cast<std::size_t>(f)]) continue;
    const int before = nearest(f, -1), after = nearest(f, 1);
    const float share = before < 0 ? 1.0f : after == all ? 0.0f : static_cast<float>(f - before) / static_cast<float>(after - before);
    const BorderFrame& a = borders.frames[static_cast<std::size_t>(before < 0 ? after : before)];
    const BorderFrame& b = borders.frames[static_cast<std::size_t>(after == all ? before : after)];
    BorderFrame between;
    for (std::size_t k = 0; k < kAngles; ++k) between.lumen[k] = a.lumen[k] + share * (b.lumen[k] - a.lumen[k]), between.eem[k] = a.eem[k] + share * (b.eem[k] - a.eem[k]);
    borders.frames[static_cast<std::size_t>(f)] = between;
  }
}

}  // namespace fairlead
