// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/packing.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>

#include "measure/source.h"
#include "reasoning/kit/disks.h"

namespace fairlead {
namespace {

constexpr double kSame = 3e-6;  // mm: bound and placement this close are one figure
constexpr std::size_t kMost = 24;

// R / r of n equal circles, rounded down where no root is printed: it serves as a lower bound.
constexpr auto kEqual = std::to_array<double>({1.0, 2.0, 2.1547005383792515, 2.414213562373095, 2.701301616704079, 3.0, 3.0,
                                               3.3047648709624866, 3.613125929752753, 3.8130256, 3.9238044, 4.0296019,
                                               4.23606797749979});
[[maybe_unused]] constexpr SourceId kEqualSource = "equal-circles-1968-2003"_source;
[[maybe_unused]] constexpr SourceId kThreeSource = "soddy-1936"_source;

// Largest first; `back` leads to the order given.
struct Sorted {
  std::vector<double> radii;
  std::vector<std::size_t> back;
};

Sorted Sort(std::span<const Length> diameters) {
  assert(diameters.size() <= kMost);
  Sorted sorted;
  sorted.back.resize(diameters.size());
  std::iota(sorted.back.begin(), sorted.back.end(), std::size_t{0});
  std::ranges::stable_sort(sorted.back, [&](std::size_t a, std::size_t b) { return diameters[a] > diameters[b]; });
  for (const std::size_t at : sorted.back) sorted.radii.push_back(diameters[at].millimetres() / 2);
  return sorted;
}

std::vector<Place> GivenOrder(const std::vector<disks::Disk>& found, const Sorted& sorted) {
  std::vector<Place> places(found.size());
  for (std::size_t i = 0; i < found.size(); ++i) {
    places[sorted.back[i]] = {Length::Millimetres(found[i].x), Length::Millimetres(found[i].y),
                              Length::Millimetres(found[i].r * 2)};
  }
  return places;
}

// The largest two or three as they must lie, the others free beside them: most trays end here.
std::optional<disks::Placement> FreeRiders(std::span<const double> radii, double lower) {
  for (const std::size_t fixed : {std::size_t{3}, std::size_t{2}}) {
    disks::Placement base = disks::PlaceFew(radii.first(fixed));
    if (base.disks.size() < fixed || base.radius < lower * (1 - 1e-12)) continue;
    if (auto whole = disks::Complete(base.disks, radii.subspan(fixed), base.radius, false)) {
      base.disks = std::move(*whole);
      return base;
    }
  }
  return std::nullopt;
}

// The largest lumen that a proof rules out, tried a little below what was found, then further below.
double Proved(std::span<const double> radii, double lower, double found, int boxes) {
  const double first = radii.size() > 8 ? 3e-2 : 0.0;  // a proof that close would take longer than the search
  for (const double share : {1e-4, 1e-3, 1e-2, 3e-2, 6e-2}) {
    if (share < first) continue;
    const double at = found * (1 - share);
    if (at <= lower) break;
    if (disks::ProvedEmpty(radii, at, boxes)) return at;
  }
  return lower;
}

}  // namespace

std::optional<double> EqualCircleRatio(std::size_t n) {
  if (n == 0 || n > kEqual.size()) return std::nullopt;
  return kEqual[n - 1];
}

Length HoldThree(Length a, Length b, Length c) {
  std::array<double, 3> radii{a.millimetres() / 2, b.millimetres() / 2, c.millimetres() / 2};
  std::ranges::sort(radii, std::greater<>());
  const std::span<const double> held(radii.data(), radii[2] > 0 ? 3 : 2);
  return Length::Millimetres(2 * disks::LowerRadius(held));
}

Length GapBeside(Length a, Length b) {
  return Length::Millimetres(2 * disks::Gap(a.millimetres() / 2, b.millimetres() / 2));
}

Length LowerBound(std::span<const Length> diameters) {
  return Length::Millimetres(2 * disks::LowerRadius(Sort(diameters).radii));
}

Packing Pack(std::span<const Length> diameters, const Effort& effort) {
  if (diameters.empty()) return {};
  const Sorted sorted = Sort(diameters);
  const double lower = disks::LowerRadius(sorted.radii);
  disks::Placement found;
  if (sorted.radii.size() <= 3) found = disks::PlaceFew(sorted.radii);
  else if (auto free = FreeRiders(sorted.radii, lower)) found = std::move(*free);
  else found = disks::Search(sorted.radii, lower, sorted.radii.size() > 8 ? effort.starts / 2 : effort.starts);
  Packing packing;
  packing.smallest = Length::Millimetres(2 * found.radius);
  packing.places = GivenOrder(found.disks, sorted);
  const bool met = 2 * (found.radius - std::max(lower, found.proved)) <= kSame;
  const double proved = met ? found.radius : Proved(sorted.radii, lower, found.radius, effort.boxes);
  packing.proved = Length::Millimetres(2 * proved);
  packing.proof = met ? Proof::kExact : Proof::kBounded;
  return packing;
}

bool ProvedTooSmall(std::span<const Length> diameters, Length lumen, const Effort& effort) {
  return disks::ProvedEmpty(Sort(diameters).radii, lumen.millimetres() / 2, 10 * effort.boxes);
}

std::optional<std::vector<Place>> Rest(std::span<const Length> diameters, Length lumen) {
  const Sorted sorted = Sort(diameters);
  const double radius = lumen.millimetres() / 2;
  if (auto resting = disks::Complete({}, sorted.radii, radius, true)) return GivenOrder(*resting, sorted);
  const Packing packing = Pack(diameters);
  if (packing.smallest > lumen + Length::Millimetres(kSame)) return std::nullopt;
  return packing.places;
}

}  // namespace fairlead
