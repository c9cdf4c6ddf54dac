// SPDX-License-Identifier: Apache-2.0
// How long antegrade wiring is worth before another way is thought of, from the published shares crossed within 30 min
// by J-CTO class (JACC Cardiovasc Interv 2011;4:213-221). A prior of other operators' cases: shown as such.
#pragma once

#include <optional>

namespace fairlead {

// 30 min for 0 and 1, 20 for 2, 10 for 3 and more; 20 where the score is not known.
double SwitchMinutes(std::optional<double> j_cto);

// Chance to cross in the next ten minutes, not crossed after `minutes`.
double CrossesInTen(double j_cto, double minutes);

}  // namespace fairlead
