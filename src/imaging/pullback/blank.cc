// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/blank.h"

#include <algorithm>

#include "imaging/pullback/gate.h"

namespace fairlead {
namespace {

constexpr double kReach = 3.0;               // mm from the catheter that are looked at
// Grey levels between the darkest and the brightest ring round the catheter: invented pullbacks of any grade have 25 or more.
constexpr double kSpread = 10.0;
constexpr double kStrange = 0.45;            // unrest (0.5: nothing in common); invented ones at 15 mm/s stay below 0.40

double RingSpread(const Polar& polar, int frame, int first, int last) {
  double least = 255.0, most = 0.0;
  for (int i = first; i < last; ++i) {
    double sum = 0.0;
    for (int ray = 0; ray < kAngles; ++ray) sum += polar.Ray(frame, ray)[static_cast<std::size_t>(i)];
    least = std::min(least, sum / kAngles), most = std::max(most, sum / kAngles);
  }
  return most - least;
}

}  // namespace

bool CatheterSeen(const Borders& borders) { return borders.catheter_mm >= kSmallestCatheter || borders.blind_mm >= kSmallestCatheter; }

std::vector<bool> BlankFrames(const Polar& polar, double from_mm) {
  const int first = std::min(polar.depth - 2, static_cast<int>(from_mm / polar.step_mm) + 2), last = std::min(polar.depth - 1, static_cast<int>(kReach / polar.step_mm));
  const std::vector<double> unrest = Unrest(polar, from_mm, kReach);
  std::vector<bool> blank(static_cast<std::size_t>(polar.frames));
  for (int frame = 0; frame < polar.frames; ++frame) {
    const auto f = static_cast<std::size_t>(frame);
    const bool before = f == 0 || unrest[f - 1] > kStrange, after = f + 1 == blank.size() || unrest[f] > kStrange;
    blank[f] = RingSpread(polar, frame, first, last) < kSpread || (before && after && blank.size() > 1);
  }
  return blank;
}

}  // namespace fairlead
