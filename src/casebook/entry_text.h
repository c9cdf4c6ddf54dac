// SPDX-License-Identifier: Apache-2.0
// Entries and beliefs as one line for a person.
#pragma once

#include <string>

#include "casebook/entry.h"

namespace fairlead {

// "Occlusion length, angiogram: 19.2 ± 1.4 mm (measured)", "image: run 3", "withdrawn: wrong vessel".
std::string EntryText(const Entry& entry);

// "19.2 ± 1.4 mm", "19 mm, spread not stated", "blunt 70 %, tapered 30 %", "yes", "30 % yes", "unseen", "unknown".
std::string BeliefText(const FactRow& row, const Belief& belief);

}  // namespace fairlead
