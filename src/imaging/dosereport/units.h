// SPDX-License-Identifier: Apache-2.0
// Numbers of a report in the unit that its code names, brought into the unit that the program keeps.
#pragma once

#include <optional>
#include <string_view>

namespace fairlead {

enum class Dimension { kAreaProduct, kKerma, kLength, kArea, kAngle, kTime, kVoltage, kCount, kRate };

// The unit that a value of this dimension is kept in: Gy.m2, Gy, mm, mm2, deg, s, kV, 1, 1/s.
std::string_view UnitOf(Dimension dimension);

// What a value in the unit of that code is multiplied by; nothing if the code is not known. Codes are those of UCUM and
// the spellings that are met in their stead.
std::optional<double> FactorOf(Dimension dimension, std::string_view code);

}  // namespace fairlead
