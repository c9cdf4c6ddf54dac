// SPDX-License-Identifier: Apache-2.0
// Lines that are logged most often, whole, so that they can be touched instead of typed. practice, no source: sizes and
// doses are common ones, offered and never filled in by themselves.
#pragma once

#include <span>
#include <string_view>

#include "casebook/run_event.h"

namespace fairlead {

struct UsualLine {
  Verb verb;
  std::string_view text;  // a whole line that ParseLogLine takes as an entry of that verb
};

// In the order of the table of verbs; of one verb the commonest first.
std::span<const UsualLine> UsualLines();

}  // namespace fairlead
