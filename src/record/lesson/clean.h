// SPDX-License-Identifier: Apache-2.0
// Text made unrecognisable. Inside this room only.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "record/lesson/lesson.h"

namespace fairlead {

// Masked words (whatever their case) become their tag; ids, dates and times of day become a sign that they were there.
std::string Unrecognised(std::string_view text, const LessonSettings& settings);

// Who wrote entries, and what rooms and devices are called: masked without being asked. Roles and single letters are not.
std::vector<std::string> NamesIn(const State& state);

}  // namespace fairlead
