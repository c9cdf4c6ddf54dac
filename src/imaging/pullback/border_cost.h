// SPDX-License-Identifier: Apache-2.0
// What it costs, on each ray of a frame, to have a border at each sample: from the picture, from a person's points, from
// what is hidden.
#pragma once

#include <array>
#include <vector>

#include "imaging/pullback/border.h"
#include "imaging/pullback/ring_down.h"

namespace fairlead {

inline constexpr double kMediaBand = 0.15;       // mm: usual thickness of the dark band; chosen, coronary media 0.1 to 0.2
inline constexpr float kNever = 1e9f;            // a border cannot be there

// The pictures of a frame that costs come from, and the costs: kAngles x depth each. Kept from frame to frame.
struct BorderCosts {
  explicit BorderCosts(int depth);
  std::vector<float> mean, still, lumen, eem, sum_mean, sum_still;  // `still`: change from frame to frame, then mean less change
};

// By what costs go: the levels of the sweep, and samples.
struct CostRule {
  GreyLevels levels;
  float blood_still = 0.0f;
  const RingDown* ring = nullptr;                // of the pullback
  int first = 2;                                 // sample from which anything is looked at
  int media = 6;                                 // samples of the dark band
};

// From `mean` and `still`. Lumen: dark and restless before, bright and still after. Media: a dark band with brighter tissue
// on both sides.
void CostsFromPicture(const Polar& polar, const CostRule& rule, BorderCosts& costs);

// Grey levels by which the brightest 0.06 mm of the wall's first 0.2 mm are brighter than what lies behind it, over nine rays
// together: an intima's edge. `sum_mean` as CostsFromPicture leaves it, `lumen` in samples, before it is widened.
std::array<float, kAngles> LiningBehind(const Polar& polar, const std::vector<float>& sum_mean, const std::array<float, kAngles>& lumen);

// Share of the rays on which no wall stands out behind `lumen` (samples): over 45 degrees together what lies behind it is hardly
// brighter than what lies before it. Such a border follows ring-down or speckle.
double WallessShare(const Polar& polar, const CostRule& rule, const std::vector<float>& sum_mean, const std::array<float, kAngles>& lumen);

// Corrections hold in their frame and fade over `kPinned` frames and about 25 degrees.
void CostsFromPoints(const Polar& polar, const std::vector<BorderPoint>& points, int frame, BorderCosts& costs);

// Which rays of a frame are hidden: behind calcium, stent struts and wires there is nothing, far darker than what is usual
// behind the wall. `borders` as they stand; the answer has their distances. `mean`: its picture.
BorderFrame WithShadows(const Polar& polar, const CostRule& rule, const std::vector<float>& mean, const BorderFrame& borders);

// On which rays the media stands out along `eem` (samples): over nine rays together the band is darker than the tissue on both
// sides. Where a person set it, it is taken for clear.
std::array<std::uint8_t, kAngles> ClearMedia(const Polar& polar, const std::vector<float>& mean, int media, const std::array<float, kAngles>& eem,
                                             const std::vector<BorderPoint>& points, int frame);

}  // namespace fairlead
