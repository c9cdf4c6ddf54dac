// SPDX-License-Identifier: Apache-2.0
// The smallest round lumen that holds given round shafts side by side without overlap.
// Up to three circles: closed form. More: a placement that was found bounds it from above, a proof bounds it from below,
// and both are told. Descartes' circle theorem; k equal circles: published optima (below).
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "measure/quantity.h"

namespace fairlead {

struct Place {
  Length x, y;       // of the centre, from the lumen's centre
  Length diameter;
};

enum class Proof {
  kExact,    // closed form, or a placement that meets a proved bound
  kBounded,  // between a proved bound and a placement that was found
};

struct Packing {
  Length smallest;            // least round lumen of any placement found: it certainly holds them
  Length proved;              // no smaller lumen holds them
  Proof proof = Proof::kExact;
  std::vector<Place> places;  // in the order given, inside `smallest`
};

// How hard to look before "too close to call". Counted in steps, not in seconds: the same answer on every machine.
struct Effort {
  int starts = 160;         // of the search for a placement
  int boxes = 1000;         // of the proof that there is none; ten times that where one lumen is asked for
};

// At most 24 circles, each above 0; none: a lumen of 0.
Packing Pack(std::span<const Length> diameters, const Effort& effort = {});

// True if it is proved that no placement in that lumen exists.
bool ProvedTooSmall(std::span<const Length> diameters, Length lumen, const Effort& effort = {});

// The bound that needs no search: pairs, triples, area, and k equal circles of the k-th largest diameter.
Length LowerBound(std::span<const Length> diameters);

// The smallest round lumen of three circles (also two, with a third of 0).
Length HoldThree(Length a, Length b, Length c);

// The largest circle that still lies free in a gap beside two circles that fill their lumen.
Length GapBeside(Length a, Length b);

// Least R / r of n equal circles of radius r, n from 1 to 13: all proved optimal. Empty beyond.
std::optional<double> EqualCircleRatio(std::size_t n);

// The same circles lying on each other at the bottom of a wider lumen, as shafts rest in a catheter. Empty if no such
// rest was found.
std::optional<std::vector<Place>> Rest(std::span<const Length> diameters, Length lumen);

}  // namespace fairlead
