// SPDX-License-Identifier: Apache-2.0
// Foreshortening and overlap of a segment over the angles of the C-arm.
//
//   F(view) = 1 - sum ds sqrt(1 - (t . d)^2) / sum ds          d the central beam, t the direction of each piece
//   O(view) = share of the target's points p for which a neighbour q lies in their beam: |(q - p) x d'| < r_p + r_q
//             d' the ray from the source through p
#pragma once

#include <span>
#include <vector>

#include "geometry/gantry.h"
#include "measure/quantity.h"
#include "reasoning/views/tree.h"

namespace fairlead {

// Primary angles across, secondary angles down, both in even steps of degrees; whole turns at most.
struct ViewGrid {
  double primary0 = -90.0, secondary0 = -45.0, step = 1.0;
  int columns = 181, rows = 91;

  std::size_t cells() const { return static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows); }
  GantryAngles AnglesAt(std::size_t cell) const;
  // The cell nearest to the angles, at the grid's edge where they lie outside.
  std::size_t CellOf(const GantryAngles& angles) const;
};

// 0 to 1, row by row from the smallest secondary angle.
std::vector<float> ForeshorteningMap(const ViewGrid& grid, std::span<const Vec3> course, int threads = 2);

inline constexpr Length kUsualIsocentre = Length::Millimetres(750.0);  // source to isocentre; practice, no source

// Painted: around each neighbour the beams that meet it make a cap of the sphere of directions. Within 0.02 degrees of
// the definition above; OverlapByDefinition walks it, pair by pair.
std::vector<float> OverlapMap(const ViewGrid& grid, const TreeBalls& balls, int threads = 2, Length isocentre = kUsualIsocentre);
double OverlapByDefinition(const GantryAngles& angles, const TreeBalls& balls, Length isocentre = kUsualIsocentre);

}  // namespace fairlead
