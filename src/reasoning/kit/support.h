// SPDX-License-Identifier: Apache-2.0
// Guide support as an explained comparison, never as newtons: what was measured, a model for ranking, and what helps,
// in the order in which one would try it.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "measure/quantity.h"
#include "measure/source.h"

namespace fairlead {

// F / k of a guide that meets the opposite wall at `angle` (0 lies along it, 90 square to it) with friction `mu`:
// 1 / (cos - mu sin). Empty: it locks itself, tan(angle) >= 1 / mu.
std::optional<double> HoldFactor(Angle angle, double mu);
Angle LocksAt(double mu);

// Bending stiffness of a shaft against that of another: OD^4 - ID^4.
double StiffnessRatio(Length outer, Length inner, Length other_outer, Length other_inner);

struct SupportFinding {
  std::string_view what;
  std::string_view size;     // as published
  SourceId source;
};
const std::vector<SupportFinding>& SupportFindings();

struct SupportRemedy {
  std::string_view what, mind;
  bool costs_lumen = false;  // the fit must be asked again
};
const std::vector<SupportRemedy>& SupportRemedies();

}  // namespace fairlead
