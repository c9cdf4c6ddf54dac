// SPDX-License-Identifier: Apache-2.0
// The cheapest way along vessels that does not turn sharply: pixel and direction together are one place of the search,
// and a change of direction has a price of its own. Where vessels cross or run beside each other the plain path of
// path.h may go over to the darker one for a while and come back, round two corners that no vessel has; this one pays
// for the corners.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "imaging/trace/path.h"

namespace fairlead {

// From the first stop through each to the last, pixel by pixel, directions kept across the stops in between. Two stops
// at least, all inside. Empty if there is no way, which a CostMap of CostOf never has.
std::vector<Pixel> SmoothestPath(const CostMap& cost, std::span<const Pixel> stops);

// What a path of such steps costs, its turns included. In the unit of the map's costs times pixels.
double PathCost(const CostMap& cost, std::span<const Pixel> path);

// From each pixel of a window about the root, by the direction in which one arrives there, the step back: what SmoothestPath
// would take between the root and any of them, so that a path under the cursor is a walk over these numbers.
struct TurningTree {
  int left = 0, top = 0, columns = 0, rows = 0;  // the window, in pixels of the picture
  Pixel root;
  std::vector<std::uint32_t> back;    // two bits a direction: 0 the root, 1 a pixel back, 2 from one direction less, 3 from one more
  std::vector<std::uint8_t> dearer;   // eight bytes a pixel, four bits a direction, the lower half first: what arriving so costs
                                      // beyond the cheapest way, in halves of the price of a sixteenth of a turn; 15 and more are 15
};
// Directions as the steps (1,0) (2,1) (1,1) (1,2) (0,1) and so on clockwise. The window reaches `reach` pixels from the root.
TurningTree CheapestTurns(const CostMap& cost, Pixel root, int reach = 256);

}  // namespace fairlead
