// SPDX-License-Identifier: Apache-2.0
// What lies around the heart: the chest's thickness, lungs, spine, ribs, wires, diaphragm, and a cloud of small shadows.
#pragma once

#include <vector>

#include "geometry/view.h"
#include "imaging/phantom/canvas.h"
#include "imaging/phantom/random.h"
#include "imaging/phantom/scene.h"

namespace fairlead {

// Bones, wires and small shadows, drawn once. `busy` scales the small shadows, 0 to 1.
void DrawStillChest(const Scene& scene, const View& view, double busy, SeededRandom& random, Canvas& canvas);

// Chest, lungs, heart and diaphragm at one breath, on a coarse grid: one value each kCoarse pixels, corners included.
inline constexpr int kCoarse = 8;
struct CoarseMap {
  int rows = 0, columns = 0;
  std::vector<float> values;
};
CoarseMap SoftChest(const View& view, double breath);

// `map` at every pixel, by lines between its values, added to `onto`.
void AddMap(const CoarseMap& map, int rows, int columns, std::vector<float>& onto);

}  // namespace fairlead
