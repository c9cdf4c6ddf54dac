// SPDX-License-Identifier: Apache-2.0
// A vessel followed by each of its edges alone, where other shadows lie upon it. Beside an edge the other shadow is
// nearly straight in grey, so that the edge shows on top of it; and of all vessels that the same injection fills, a
// millimetre darkens alike. The chain of middles and radii along the vessel that both edges bear out best is kept.
#pragma once

#include <span>
#include <vector>

#include "imaging/trace/straightened.h"

namespace fairlead {

// A click: the vessel passes there, to about a pixel.
struct Anchor {
  int line = 0;
  double middle = 0.0;
};

// Of each click the nearest place of the course.
std::vector<Anchor> AnchorsOf(std::span<const PixelPoint> clicks, std::span<const PixelPoint> course, std::span<const PixelPoint> normals);

// One middle and radius a line. `expected` is the radius thought likely; radii go from 0.75 to `most`, middles 8 pixels to
// either side. How dark the vessel is comes from rough fits about the course.
std::vector<SectionStart> ChainOfEdges(const Straightened& straight, double expected, double most, std::span<const Anchor> anchors);

}  // namespace fairlead
