// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/peak_views.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/gantry.h"

namespace fairlead {
namespace {

constexpr double kOneView = 5.0;        // degrees between beams; chosen
constexpr std::size_t kCentres = 100;   // largest events that may be the middle of a view; chosen

struct At {
  Vec3 beam;
  GantryAngles angles;
  double gray = 0.0;
};

}  // namespace

std::vector<PeakByView> PeakByViews(const SkinPeak& peak, std::span<const IrradiationEvent> events, std::size_t most) {
  std::vector<At> left;  // most first
  for (const Share& share : peak.by) {
    const auto& angles = events[share.event].angles;
    if (angles) left.push_back({BeamOf(*angles), *angles, share.gray});
  }
  const double close = std::cos(kOneView * std::numbers::pi / 180.0) - 1e-12;
  std::vector<PeakByView> views;
  while (!left.empty() && views.size() < most) {
    PeakByView best;
    Vec3 middle;
    for (std::size_t c = 0; c < std::min(left.size(), kCentres); ++c) {
      PeakByView here{left[c].angles, 0.0, 0};
      for (const At& each : left) {
        if (Dot(each.beam, left[c].beam) < close) continue;
        here.gray += each.gray;
        ++here.events;
      }
      if (here.gray > best.gray) {
        best = here;
        middle = left[c].beam;
      }
    }
    if (best.events == 0) break;
    std::erase_if(left, [&](const At& each) { return Dot(each.beam, middle) >= close; });
    views.push_back(best);
  }
  std::ranges::stable_sort(views, [](const PeakByView& a, const PeakByView& b) { return a.gray > b.gray; });
  return views;
}

}  // namespace fairlead
