// SPDX-License-Identifier: Apache-2.0
// The cheapest way along vessels that does not turn sharply: pixel and direction together are one place of the search,
// and a change of direction has a price of its own. Where vessels cross or run beside each other the plain path of
// path.h may go over to the darker one for a while and come back, round two corners that no vessel has; this one pays
// for the corners.
#pragma once

#include <span>
#include <vector>

#include "imaging/trace/path.h"

namespace fairlead {

// From the first stop through each to the last, pixel by pixel, directions kept across the stops in between. Two stops
// at least, all inside. Empty if there is no way, which a CostMap of CostOf never has.
std::vector<Pixel> SmoothestPath(const CostMap& cost, std::span<const Pixel> stops);

}  // namespace fairlead
