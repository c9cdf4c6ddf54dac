// SPDX-License-Identifier: Apache-2.0
#include "reasoning/views/gantry_reach.h"

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

constexpr double kSteepPrimary = 60.0, kSteepCaudal = 35.0, kSteepCranial = 40.0;  // degrees; practice, no source

bool Inside(const ForbiddenZone& zone, double primary, double secondary) {
  constexpr double kRounding = 1e-6;
  return primary >= zone.primary_from - kRounding && primary <= zone.primary_to + kRounding && secondary >= zone.secondary_from - kRounding &&
         secondary <= zone.secondary_to + kRounding;
}

const ForbiddenZone* ZoneAt(const GantryReach& gantry, double primary, double secondary) {
  const auto found = std::ranges::find_if(gantry.zones, [&](const ForbiddenZone& zone) { return Inside(zone, primary, secondary); });
  return found == gantry.zones.end() ? nullptr : &*found;
}

bool BeyondReach(const GantryReach& gantry, double primary, double secondary) {
  constexpr double kRounding = 1e-6;
  if (primary < gantry.primary_from - kRounding || primary > gantry.primary_to + kRounding) return true;
  const double lost = std::max(0.0, std::abs(primary) - gantry.tilt_lost_beyond) / 2.0 - kRounding;
  return secondary < gantry.secondary_from + lost || secondary > gantry.secondary_to - lost;
}

bool Steep(double primary, double secondary) {
  constexpr double kRounding = 1e-6;
  return primary >= kSteepPrimary - kRounding && (secondary <= -kSteepCaudal + kRounding || secondary >= kSteepCranial - kRounding);
}

}  // namespace

std::string_view ReachName(Reach reach) {
  switch (reach) {
    case Reach::kFree: return "free";
    case Reach::kCheck: return "check";
    case Reach::kOut: return "out";
  }
  return "";
}

Reach ReachOf(const GantryReach& gantry, const GantryAngles& angles) {
  const double primary = angles.primary.degrees(), secondary = angles.secondary.degrees();
  if (BeyondReach(gantry, primary, secondary) || ZoneAt(gantry, primary, secondary) != nullptr) return Reach::kOut;
  return Steep(primary, secondary) ? Reach::kCheck : Reach::kFree;
}

std::string WhyNot(const GantryReach& gantry, const GantryAngles& angles) {
  const double primary = angles.primary.degrees(), secondary = angles.secondary.degrees();
  if (BeyondReach(gantry, primary, secondary)) return "beyond the C-arm's reach";
  if (const ForbiddenZone* zone = ZoneAt(gantry, primary, secondary)) return zone->why.empty() ? "in a zone that the lab forbids" : zone->why;
  return Steep(primary, secondary) ? "steep: check the reach with this patient" : "";
}

}  // namespace fairlead
