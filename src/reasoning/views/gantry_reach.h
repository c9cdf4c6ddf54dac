// SPDX-License-Identifier: Apache-2.0
// Where a C-arm can stand. The default is practice, no source; a lab writes its own, with the zones that its shield, its
// anaesthesia machine or the operator's place forbid. Collision with arms, table and shield is not modelled.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/gantry.h"
#include "measure/result.h"

namespace fairlead {

struct ForbiddenZone {
  double primary_from = 0.0, primary_to = 0.0, secondary_from = 0.0, secondary_to = 0.0;  // degrees, both ends inside
  std::string why;
};

struct GantryReach {
  double primary_from = -110.0, primary_to = 120.0, secondary_from = -45.0, secondary_to = 45.0;
  double tilt_lost_beyond = 50.0;     // from this primary angle on half a degree of tilt is lost for each degree
  std::vector<ForbiddenZone> zones;
  std::string operator_side = "right";  // where the operator stands; scatter is highest on the tube's side
  std::string named;                  // whose text this is; empty for the default
};

enum class Reach { kFree, kCheck, kOut };
std::string_view ReachName(Reach reach);  // "free", "check", "out"

// kCheck: steep views in which the detector comes near to the chest or the tube near to the table.
Reach ReachOf(const GantryReach& gantry, const GantryAngles& angles);
// Why a view is not free, in words; empty if it is.
std::string WhyNot(const GantryReach& gantry, const GantryAngles& angles);

// The lab's text of the name "gantry": {"primary_deg": [-100, 100], "secondary_deg": [-45, 45], "tilt_lost_beyond_deg": 50,
// "forbidden": [{"primary_deg": [60, 120], "secondary_deg": [-45, -30], "why": "ceiling shield"}], "operator": "right"}.
// Errors: not such an object; a range that is none; more than 100 zones.
Result<GantryReach> GantryFromJson(std::string_view json);

}  // namespace fairlead
