// SPDX-License-Identifier: Apache-2.0
// Units of UCUM (case sensitive codes) into those of the dictionary of facts. Inside this room only.
#pragma once

#include <optional>
#include <string_view>

namespace fairlead {

enum class UcumAmount { kPercent, kCreatinine, kHaemoglobin, kMass, kLength };

// In %, mg/dL, g/dL, kg, cm. Nothing where the unit is none of that quantity's.
std::optional<double> InOurUnit(UcumAmount amount, double value, std::string_view ucum);

}  // namespace fairlead
