// SPDX-License-Identifier: Apache-2.0
#include "reasoning/spaces/balloon.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

constexpr Length kCalciumStep = Length::Millimetres(0.5);
constexpr Angle kHeavyArc = Angle::Degrees(180.0);
constexpr Length kUsualOutsideStart = Length::Millimetres(2.5);  // practice: both outside, begin at 2.0 to 2.5 mm
constexpr Length kLargestDirected = Length::Millimetres(2.0);
constexpr Length kSmallestEem = Length::Millimetres(0.5), kLargestEem = Length::Millimetres(8.0);  // chosen: no coronary artery lies outside

std::string Mm(Length length) { return fmt::format("{:.2f}", length.millimetres()); }

// The rule's own limits, told when they bite.
Length Limited(Length size, std::vector<std::string>& cautions) {
  if (size > kLargestBalloon) {
    cautions.push_back("The rule stops at 4.00 mm; this vessel measures more. Above that size it gives no guidance.");
    return kLargestBalloon;
  }
  if (size < kSmallestBalloon) {
    cautions.push_back(fmt::format("The rule works out at {} mm, below its smallest size; it allows 1.50 mm, which is larger.", Mm(size)));
    return kSmallestBalloon;
  }
  return size;
}

bool HeavyCalcium(const VesselSize& vessel) { return vessel.calcium_arc && *vessel.calcium_arc > kHeavyArc; }

void Directed(const VesselSize& vessel, BalloonSizes& out) {
  const Length size = std::min(kLargestDirected, FloorToStep(0.6 * vessel.eem_min.value));
  out.sizes.push_back({"small balloon on the near wire, then the far wire into its track", Limited(size, out.cautions), {}});
}

void Outside(const VesselSize& vessel, BalloonSizes& out) {
  const Length mean = (vessel.eem_min.value + vessel.eem_max.value) / 2.0;
  const Length most = FloorToStep(vessel.eem_min.value);
  const Length first = Limited(std::min(FloorToStep(0.75 * mean), most), out.cautions);
  const Length next = std::min(FloorToStep(mean), most);
  out.sizes.push_back({"balloon on the near wire, first", first, {}});
  // A limit that the first size met was told already.
  if (next > first) out.sizes.push_back({"balloon on the near wire, next step at the same place", std::min(next, kLargestBalloon), {}});
  if (first > kUsualOutsideStart) {
    out.cautions.push_back("The trade usually begins at 2.00 to 2.50 mm when both wires are outside plaque; the share of the vessel's size is larger here.");
  }
}

void Mixed(const VesselSize& vessel, BalloonSizes& out) {
  const Length whole = FloorToStep(vessel.eem_min.value);
  BalloonSize balloon{"balloon on the near wire", whole, {}};
  if (HeavyCalcium(vessel)) balloon.largest = whole - kCalciumStep;
  balloon.largest = Limited(balloon.largest, out.cautions);
  if (!vessel.calcium_arc) {
    balloon.smallest = std::max(kSmallestBalloon, balloon.largest - kCalciumStep);
    out.cautions.push_back("The calcium arc was not given: above 180 degrees the rule takes half a millimetre off.");
  }
  out.sizes.push_back(balloon);
}

void Cutting(const Length balloon, BalloonSizes& out) {
  const Length largest = balloon - kSizeStep;
  if (largest < kSmallestBalloon) return;
  out.sizes.push_back({"cutting or scoring balloon, if that does not tear the media", largest, std::max(kSmallestBalloon, balloon - kCalciumStep)});
}

BalloonSizes ByRule(WireCase which, const VesselSize& vessel) {
  BalloonSizes out;
  switch (which) {
    case WireCase::kBothInPlaque: Directed(vessel, out); break;
    case WireCase::kBothOutside: Outside(vessel, out); break;
    case WireCase::kNearInFarOut:
      Mixed(vessel, out);
      Cutting(out.sizes.front().largest, out);
      break;
    case WireCase::kNearOutFarIn:
      Mixed(vessel, out);
      out.sizes.push_back({"balloon on the far wire, septal or graft route only",
                           std::min(kLargestDirected, FloorToStep(vessel.eem_min.value)), kSmallestBalloon});
      break;
    case WireCase::kNoSharedSection:
    case WireCase::kUnknown: break;
  }
  return out;
}

// What two standard deviations less vessel would change.
void WarnOfUncertainty(WireCase which, const VesselSize& vessel, BalloonSizes& out) {
  if (!vessel.eem_min.sd || !vessel.eem_max.sd || out.sizes.empty()) return;
  VesselSize smaller = vessel;
  smaller.eem_min.value = vessel.eem_min.value - 2.0 * *vessel.eem_min.sd;
  smaller.eem_max.value = std::max(smaller.eem_min.value, vessel.eem_max.value - 2.0 * *vessel.eem_max.sd);
  if (smaller.eem_min.value < kSmallestBalloon) {
    out.cautions.push_back("Within its uncertainty the vessel may be smaller than the smallest size of the rule.");
    return;
  }
  const Length less = ByRule(which, smaller).sizes.front().largest;
  if (less == out.sizes.front().largest) return;
  out.cautions.push_back(fmt::format("The vessel's size is uncertain: two standard deviations smaller, {} mm, the rule allows {} mm.",
                                     Mm(smaller.eem_min.value), Mm(less)));
}

}  // namespace

Length FloorToStep(Length length) { return kSizeStep * std::floor(length / kSizeStep + 1e-9); }  // 1e-9: 3.0 typed is 3.0

Status CheckVessel(const VesselSize& vessel) {
  for (const auto* side : {&vessel.eem_min, &vessel.eem_max}) {
    const bool within = side->value >= kSmallestEem && side->value <= kLargestEem;  // false for NaN
    if (!within) return Error{"a size from media to media is not within 0.5 to 8 mm", "vessel size", "type it in millimetres"};
    if (side->sd && !(*side->sd >= Length() && *side->sd <= kLargestEem)) {
      return Error{"a standard deviation is not within 0 to 8 mm", "vessel size", "type it in millimetres"};
    }
  }
  if (vessel.eem_min.value > vessel.eem_max.value) {
    return Error{"the smallest size from media to media is above the largest", "vessel size", "exchange the two"};
  }
  if (vessel.calcium_arc && !(*vessel.calcium_arc >= Angle() && vessel.calcium_arc->degrees() <= 360.0 + 1e-9)) {
    return Error{"the calcium arc is not within 0 to 360 degrees", "calcium arc", "type it in degrees"};
  }
  return Done{};
}

BalloonSizes SizesFor(WireCase which, const VesselSize& vessel) {
  if (which == WireCase::kUnknown || which == WireCase::kNoSharedSection) return {};
  if (vessel.eem_min.value < kSmallestBalloon) {
    return {{}, {"The vessel measures less than 1.50 mm, the rule's smallest size: it allows no balloon here."}};
  }
  BalloonSizes out = ByRule(which, vessel);
  if (HeavyCalcium(vessel)) {
    const bool counted = which == WireCase::kNearInFarOut || which == WireCase::kNearOutFarIn;
    out.cautions.push_back(counted ? "Calcium takes more than half of the ring: half a millimetre is taken off, and the wall may still tear beside it."
                                   : "Calcium takes more than half of the ring: the rule makes no allowance for it in this case; the wall may tear beside it.");
  }
  WarnOfUncertainty(which, vessel, out);
  return out;
}

}  // namespace fairlead
