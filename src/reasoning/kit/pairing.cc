// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/pairing.h"

#include <algorithm>
#include <cmath>

#include "measure/random.h"

namespace fairlead {
namespace {

constexpr int kDraws = 1000;

// One section of each device 0..moving; appends every choice to `found`.
void Choose(const std::vector<std::vector<Section>>& devices, std::size_t moving, FitMode mode, Pairing& partial,
            std::vector<Pairing>& found) {
  const std::size_t at = partial.sections.size();
  if (at > moving) { found.push_back(partial); return; }
  static const Section kGone{};  // parked wholly beyond the host: a coil, a burr without its shaft's size
  bool any = false;
  for (const Section& section : devices[at]) {
    const bool parked = mode == FitMode::kInOrder && at < moving;
    if (parked && section.working) continue;
    any = true;
    partial.sections.push_back(&section);
    Choose(devices, moving, mode, partial, found);
    partial.sections.pop_back();
  }
  if (any) return;
  partial.sections.push_back(&kGone);
  Choose(devices, moving, mode, partial, found);
  partial.sections.pop_back();
}

// Without a search: exact up to three circles, a lower bound beyond.
Length Held(std::vector<Length> circles) {
  std::ranges::sort(circles, std::greater<>());
  if (circles.size() <= 3) {
    circles.resize(3, Length{});
    return HoldThree(circles[0], circles[1], circles[2]);
  }
  return LowerBound(circles);
}

}  // namespace

const Packing& PackingMemory::Of(std::vector<Length> circles) {
  std::ranges::sort(circles, std::greater<>());
  std::vector<double> key;
  for (const Length circle : circles) key.push_back(circle.millimetres());
  const auto found = kept_.find(key);
  return found != kept_.end() ? found->second : kept_.emplace(std::move(key), Pack(circles)).first->second;
}

std::vector<Length> Pairing::Circles() const {
  std::vector<Length> circles;
  for (const Section* section : sections) circles.insert(circles.end(), section->circles.begin(), section->circles.end());
  return circles;
}

std::vector<Pairing> Pairings(const std::vector<std::vector<Section>>& devices, FitMode mode) {
  std::vector<Pairing> found;
  const std::size_t first = mode == FitMode::kTogether && !devices.empty() ? devices.size() - 1 : 0;
  for (std::size_t moving = first; moving < devices.size(); ++moving) {
    Pairing partial;
    partial.moving = moving;
    Choose(devices, moving, mode, partial, found);
  }
  return found;
}

std::optional<Length> TurnedKindly(const Pairing& pairing) {
  const Section* oval = nullptr;
  std::vector<Length> beside;
  for (const Section* section : pairing.sections) {
    if (section->short_axis > Length{} && oval == nullptr) oval = section;
    else beside.insert(beside.end(), section->circles.begin(), section->circles.end());
  }
  if (oval == nullptr || beside.size() > 1) return std::nullopt;
  if (beside.empty()) return oval->circles[0];
  return OvalBeside(oval->circles[0], oval->short_axis, beside[0]);
}

// Samples: every true size is drawn evenly within its rounding. Beyond three circles the bound of pairs and triples
// carries the change, added to what the nominal sizes need.
FitDoubt DoubtOf(const Host& host, const std::vector<Length>& circles, const std::vector<Length>& rounding, Length clearance) {
  PackingMemory memory;
  const Length lift = memory.Of(circles).smallest - Held(circles);
  const auto margin = [&](auto shift) {
    std::vector<Length> sizes = circles;
    for (std::size_t i = 0; i < sizes.size(); ++i) sizes[i] = sizes[i] + rounding[i] * shift();
    return host.lumen - host.rounding * shift() - lift - Held(sizes);
  };
  FitDoubt doubt;
  doubt.worst = margin([] { return 1.0; });
  doubt.best = margin([] { return -1.0; });
  doubt.sensitive = ClassOf(doubt.worst, clearance) != ClassOf(doubt.best, clearance);
  if (!doubt.sensitive) {
    doubt.odds_passes = doubt.worst >= Length{} || ClassOf(doubt.worst, clearance) != FitClass::kNo ? 1.0 : 0.0;
    doubt.odds_fits = ClassOf(doubt.worst, clearance) == FitClass::kFits ? 1.0 : 0.0;
    return doubt;
  }
  SeededRandom random(UINT64_C(0xf17));
  int passes = 0, fits = 0;
  for (int draw = 0; draw < kDraws; ++draw) {
    const FitClass fit = ClassOf(margin([&] { return random.Within(-1, 1); }), clearance);
    passes += fit != FitClass::kNo ? 1 : 0;
    fits += fit == FitClass::kFits ? 1 : 0;
  }
  doubt.odds_passes = static_cast<double>(passes) / kDraws;
  doubt.odds_fits = static_cast<double>(fits) / kDraws;
  return doubt;
}

Length OvalBeside(Length long_axis, Length short_axis, Length beside) {
  const double s = (long_axis - short_axis).millimetres(), d = beside.millimetres();
  if (d < s / 2) return long_axis + beside;  // the thin one meets the flat side: not turned to advantage
  return std::max(long_axis, short_axis + beside + Length::Millimetres(s * s / (4 * d)));
}

Length ThickestInBend(Length lumen, Length bend_radius, Length rigid_length) {
  const double rho = bend_radius.millimetres(), half = lumen.millimetres() / 2, s = rigid_length.millimetres();
  const double inside = (rho + half) * (rho + half) - s * s / 4;
  return Length::Millimetres(inside <= 0 ? 0.0 : std::max(0.0, std::sqrt(inside) - (rho - half)));
}

}  // namespace fairlead
