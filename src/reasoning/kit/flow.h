// SPDX-License-Identifier: Apache-2.0
// How much contrast still passes beside devices in a lumen: laminar flow along it, solved in its cross-section.
#pragma once

#include <vector>

#include "reasoning/kit/packing.h"

namespace fairlead {

struct FlowLeft {
  double share = 1.0;        // of the empty lumen's flow, at the same pressure
  double free_area = 1.0;    // share of the cross-section
};

// Poisson's equation on a grid of `cells` across the lumen, wall distances exact along the grid (Comput Phys
// 2002;176:205-227): within 1 % of closed forms from 96 cells on. The shafts lie where `places` says.
FlowLeft FlowBeside(const std::vector<Place>& places, Length lumen, int cells = 96);

// Poiseuille: pressure in kPa that drives that flow through an empty lumen. Contrast at body temperature is 4.5 to 12
// mPa s, from memory.
double PressureKpa(Length lumen, Length length, double ml_per_s, double viscosity_mpa_s = 8.0);

// A shaft in the very middle of the lumen: the least flow that it can leave. 1 - k^4 - (1 - k^2)^2 / ln(1/k).
double FlowAroundCentred(Length shaft, Length lumen);

}  // namespace fairlead
