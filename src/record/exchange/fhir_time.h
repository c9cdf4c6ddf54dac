// SPDX-License-Identifier: Apache-2.0
// Dates of FHIR R4 (section 2.24.0.1, date and dateTime): a year, a month, a day, or a moment with its zone. Inside this room only.
#pragma once

#include <optional>
#include <string_view>
#include <utility>

#include "measure/instant.h"

namespace fairlead {

struct FhirTime {
  Instant at;
  bool given = false;
  bool day_only = false;  // noon UTC stands for the day
  bool wrong = false;
};

// Less than a day (a year, a month) is not a time here: `wrong`.
FhirTime ReadFhirTime(std::string_view text);

// The least and greatest completed years on the day of `on` (UTC) of somebody born on a date that may be a year or a month only.
// Nothing if it is no date, or lies after `on`.
std::optional<std::pair<int, int>> AgesOn(std::string_view born, Instant on);

}  // namespace fairlead
