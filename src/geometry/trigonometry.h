// SPDX-License-Identifier: Apache-2.0
// Sine, cosine, exponential and logarithm from sums, products and quotients alone, so that phantoms and projections
// have the same bytes on every processor: the C library's own functions differ in their last bits.
#pragma once

#include "measure/quantity.h"

namespace fairlead {

struct SineCosine {
  double sine = 0.0, cosine = 1.0;
};

// Within 3e-16 of the true values for |angle| up to 1000 turns.
SineCosine SineCosineOf(Angle angle);

// e^x within 4 units of the last place for x in [-700, 700]; outside, the end of that range is used.
double ExpOf(double x);

// Natural logarithm within 4 units of the last place, or 2e-16 near 1; x must be above 0 and normal.
double LogOf(double x);

}  // namespace fairlead
