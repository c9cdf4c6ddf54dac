// SPDX-License-Identifier: Apache-2.0
// Which of the lumens that may lie in each section continue one vessel.
#pragma once

#include <span>
#include <vector>

#include "imaging/trace/edge_chain.h"
#include "imaging/trace/explanations.h"

namespace fairlead {

struct LumenChoice {
  std::vector<SectionFit> fits;      // one a line
  std::vector<bool> found;           // false: passed over, nothing there continues the vessel
  std::vector<double> otherwise;     // root mean square of what the diameter would change by, if other choices, by how likely they are, held
};

// The cheapest way through the explanations: what is left over counts, how far from a click, and how much middle, radius and darkness
// change from line to line; a few lines may be passed over. `chain` then follows what was chosen. Pixels.
LumenChoice ChooseLumens(std::span<const std::vector<Explanation>> all, std::span<const Anchor> anchors, std::span<SectionStart> chain);

}  // namespace fairlead
