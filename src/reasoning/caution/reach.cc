// SPDX-License-Identifier: Apache-2.0
#include "reasoning/caution/reach.h"

namespace fairlead {
namespace {

constexpr double kValve_cm = 9.0, kFreeWire_cm = 40.0, kTail_cm = 10.0, kParked_cm = -10.0, kClear_cm = 25.0;  // practice

}  // namespace

std::optional<ExternaliseReach> ReachOf(const RunState& run) {
  const RunDevice* guide = FindInBody(run, DeviceKind::kGuide, RunSide::kAntegrade, "");
  const RunDevice* catheter = FindInBody(run, DeviceKind::kMicrocatheter, RunSide::kRetrograde, "");
  if (guide == nullptr || catheter == nullptr || !guide->length_cm || !catheter->length_cm) return std::nullopt;
  const double at_tip = *catheter->length_cm + *guide->length_cm + kValve_cm + kFreeWire_cm + kTail_cm;
  return ExternaliseReach{at_tip + kParked_cm, at_tip, at_tip + kClear_cm};
}

}  // namespace fairlead
