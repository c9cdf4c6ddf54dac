// SPDX-License-Identifier: Apache-2.0
// The balloon diameters that the trade's rule allows for joining two wires' spaces, from the vessel's size from media to
// media (EEM, external elastic membrane) in the same cross-section. Steps of a quarter of a millimetre, always down.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "measure/quantity.h"
#include "measure/reading.h"
#include "measure/result.h"
#include "measure/source.h"

namespace fairlead {

enum class WireCase {
  kBothInPlaque,
  kBothOutside,
  kNearInFarOut,   // near wire in plaque, far wire outside
  kNearOutFarIn,   // near wire outside, far wire in plaque
  kNoSharedSection,
  kUnknown,
};

struct VesselSize {
  Reading<Length> eem_min, eem_max;  // shortest and longest diameter through the centre
  std::optional<Angle> calcium_arc;  // largest arc in one cross-section; absent = not looked at
};

inline constexpr Length kSizeStep = Length::Millimetres(0.25);
inline constexpr Length kSmallestBalloon = Length::Millimetres(1.5);
inline constexpr Length kLargestBalloon = Length::Millimetres(4.0);
inline constexpr SourceId kSizeSource = "practice"_source;
// The trade's terms for the variants (large balloon, small balloon with an aimed wire, dissection carried on).
inline constexpr SourceId kVariantSource = "reverse-cart-terms"_source;

struct BalloonSize {
  std::string what;                 // "balloon on the near wire, first"
  Length largest;                   // never above the vessel's smallest diameter
  std::optional<Length> smallest;   // of a range; absent = one size
};

struct BalloonSizes {
  std::vector<BalloonSize> sizes;      // none: the rule gives no size here
  std::vector<std::string> cautions;   // whole sentences
};

// The largest multiple of a quarter of a millimetre that is not above `length`.
Length FloorToStep(Length length);

// Errors: sizes not within 0.5 to 8 mm, smallest above largest, an arc outside 0 to 360 degrees, an sd below 0.
Status CheckVessel(const VesselSize& vessel);

// Empty for kNoSharedSection and kUnknown: no size is derived for a place that is not understood.
BalloonSizes SizesFor(WireCase which, const VesselSize& vessel);

}  // namespace fairlead
