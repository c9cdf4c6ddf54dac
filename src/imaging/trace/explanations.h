// SPDX-License-Identifier: Apache-2.0
// What may lie in a section: one lumen, or two that lie beside or on each other, either of which may be ours. Vessels that lie on each
// other look like one wide one; two lumens leave less over.
#pragma once

#include <span>
#include <vector>

#include "imaging/trace/section_fit.h"
#include "imaging/trace/straightened.h"

namespace fairlead {

struct Explanation {
  SectionFit fit;      // of the lumen taken for ours, the other fitted along
  int lumens = 1;
  double gain = 0.0;   // logarithm of what one lumen leaves over, by what this one does, over the same samples
};

// One list a line, never empty, that of one lumen first. `chain` has a start for each line. Where the vessel is as dark as the picture
// can show (`darkest`), its shape is cut off flat, which two lumens would explain: there only one is told.
std::vector<std::vector<Explanation>> ExplanationsOf(const Straightened& straight, const SectionFitter& fitter, std::span<const SectionStart> chain, double darkest);

}  // namespace fairlead
