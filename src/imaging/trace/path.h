// SPDX-License-Identifier: Apache-2.0
// The cheapest way along vessels from pixel to pixel: eight neighbours, cost per length 1 / (0.02 + V / V95), where V is
// the vesselness and V95 what 95 % of the pixels stay below.
//
// Which ridge the path takes is all that is asked of it; its length on the grid is up to 8 % long and is never used.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "casebook/entry.h"
#include "imaging/trace/vesselness.h"

namespace fairlead {

struct Pixel {
  int column = 0, row = 0;
  friend bool operator==(Pixel, Pixel) = default;
};

// Cost per length, with a border of one pixel that cannot be entered.
struct CostMap {
  int rows = 0, columns = 0;
  std::vector<float> costs;  // (rows + 2) x (columns + 2)
};
CostMap CostOf(const Vesselness& vesselness);

// From each pixel the way back to the root: 0 right, 1 right-down, 2 down, and so on clockwise to 7 right-up.
inline constexpr std::uint8_t kTreeRoot = 8, kTreeUnreached = 9;
struct PathTree {
  int rows = 0, columns = 0;
  Pixel root;
  std::vector<std::uint8_t> towards_root;  // one byte a pixel
};

// The cheapest paths from `root` to every pixel, or, if `until` is given, at least to that one. The root must lie inside.
PathTree CheapestPaths(const CostMap& cost, Pixel root, std::optional<Pixel> until = std::nullopt);

// From `from` to the root, both included; empty if the tree does not reach it.
std::vector<Pixel> WalkToRoot(const PathTree& tree, Pixel from);

// The ridge near a click: the strongest crest within 6 pixels, nearer ones counting more (practice, no source). The
// click's own pixel where there is no tube. The click must lie inside the picture.
Pixel SnapToRidge(const Vesselness& vesselness, PixelPoint click);

}  // namespace fairlead
