// SPDX-License-Identifier: Apache-2.0
// From air kerma free in air to dose in skin: backscatter, the medium, and what table and pad let through, by tube
// voltage and copper filter. The figures come from a Monte Carlo simulation of a water slab ("beam-monte-carlo" in the
// table of sources); backscatter is 0.6 to 1.6 % high for a beam that spreads.
#pragma once

#include <array>

#include "measure/quantity.h"
#include "measure/source.h"

namespace fairlead {

struct BeamFactors {
  std::array<double, 7> backscatter{};  // at fields of 50, 75, 100, 125, 150, 200, 250 mm side on the skin
  double medium = 1.0;                  // soft tissue (water) over air
  double table = 1.0;                   // share that passes table and pad at right angles, narrow beam
};
inline constexpr SourceId kBeamFactorsSource = "beam-monte-carlo"_source;

// Between the rows linear, outside the table at its edge: 60 to 120 kV, 0 to 0.9 mm of copper.
BeamFactors FactorsFor(double kilovolts, Length copper, Length table_aluminium);

// For an event that names no filter: the mid of the table (practice).
BeamFactors UnknownFilterFactors();

// `side_mm`: of the square field on the skin, or of the square with the same area.
double BackscatterAt(const BeamFactors& factors, double side_mm);

}  // namespace fairlead
