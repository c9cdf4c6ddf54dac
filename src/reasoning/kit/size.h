// SPDX-License-Identifier: Apache-2.0
// A size as the package prints it: "2.6 Fr", "0.014 in", "1.80mm", "0,014 in", "135 cm". The printed digits say how
// finely it was rounded, so a size is a value and the interval in which the true one lies.
#pragma once

#include <string>
#include <string_view>

#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

enum class SizeUnit { kMillimetre, kCentimetre, kInch, kFrench };

struct PrintedSize {
  Length value;
  Length resolution;  // one unit of the last printed digit; the true size lies within half of it, either side
  SizeUnit unit = SizeUnit::kMillimetre;
  std::string text;   // as it was given
};

std::string_view UnitWord(SizeUnit unit);

// Errors: no number, no unit, a needle's gauge, not above 0, above 5 m.
Result<PrintedSize> ParseSize(std::string_view text);

// A size without a unit is read in `fallback`: a table's column says its unit once, in its head.
Result<PrintedSize> ParseSize(std::string_view text, SizeUnit fallback);

// A wire's diameter, 0.15 to 1.0 mm. Below that it is nearly always inches printed as millimetres; that is refused,
// not mended. practice, no source
Status CheckWireDiameter(Length diameter, std::string_view printed);

}  // namespace fairlead
