// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/support.h"

#include <cmath>

namespace fairlead {

std::optional<double> HoldFactor(Angle angle, double mu) {
  const double left = std::cos(angle.radians()) - mu * std::sin(angle.radians());
  if (left <= 1e-9) return std::nullopt;
  return 1 / left;
}

Angle LocksAt(double mu) { return Angle::Radians(std::atan2(1.0, mu)); }

double StiffnessRatio(Length outer, Length inner, Length other_outer, Length other_inner) {
  const auto fourth = [](Length d) { return std::pow(d.millimetres(), 4); };
  return (fourth(outer) - fourth(inner)) / (fourth(other_outer) - fourth(other_inner));
}

const std::vector<SupportFinding>& SupportFindings() {
  static const std::vector<SupportFinding> kFindings = {
      {"larger guides hold more, left coronary", "8 Fr over 7 Fr over 6 Fr", "support-left-2005"_source},
      {"femoral against radial access, left", "+60 % with a Judkins shape, +8 % with a backup shape", "support-left-2005"_source},
      {"right coronary: the first contact site decides", "shapes that slide onto the opposite wall hold more than a Judkins shape", "support-right-2009"_source},
      {"inner guide 9 cm out of an outer one, against the outer alone", "4 in 5: 174 %, 4 in 6: 203 %, 4 in 7: 135 %, 5 in 6: 289 %, 5 in 7: 152 %", "support-child-2012"_source},
      {"guide extension", "mean depth 3.3 cm, at most 10.6 cm", "extension-depth-2012"_source},
      {"anchoring balloon", "helpful in reported cases; no bench force found", "practice"_source},
  };
  return kFindings;
}

// practice, no source: the order and each remark.
const std::vector<SupportRemedy>& SupportRemedies() {
  static const std::vector<SupportRemedy> kRemedies = {
      {"a shape that leans on the opposite wall", "before anything else goes in", false},
      {"the tip in line with the vessel", "pressure not damped", false},
      {"a larger guide", "sheath and artery must take it", false},
      {"a long sheath through bent iliac arteries", "", false},
      {"femoral instead of radial access, for Judkins shapes", "", false},
      {"deep seating", "only without disease of the ostium; watch for damping", false},
      {"a second wire", "", true},
      {"an anchor balloon in a side branch", "balloon as wide as the branch, 4 to 8 atm", true},
      {"a guide extension", "its tunnel is narrower than the guide", true},
      {"a stiffer microcatheter", "", true},
      {"an anchor in the distal vessel, or a trapped wire", "", true},
  };
  return kRemedies;
}

}  // namespace fairlead
