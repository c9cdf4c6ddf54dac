// SPDX-License-Identifier: Apache-2.0
// A point in 3D from its pictures in two or more views.
#pragma once

#include <span>

#include "geometry/view.h"

namespace fairlead {

inline constexpr Angle kRefuseBelow = Angle::Degrees(15.0);  // between rays; practice, no source
inline constexpr Angle kWarnBelow = Angle::Degrees(30.0);    // practice, no source

struct SeenAt {
  View view;
  ImagePoint at;
};

struct Triangulated {
  Vec3 point;
  Length gap;            // the widest closest approach of any two rays; a small one does not prove the geometry right
  Angle between;         // the widest angle between any two rays, folded to at most 90 degrees
  bool narrow = false;   // below kWarnBelow: usable, with the error that it brings
};

// Least squares over the rays, then again with each ray weighted by one over the square of its pixel size at that depth.
// Refuses fewer than two pictures, a view that fails CheckView, and rays less than 15 degrees apart.
Result<Triangulated> Triangulate(std::span<const SeenAt> pictures);

// a*column + b*row + c = 0 with a^2 + b^2 = 1.
struct ImageLine {
  double a = 0.0, b = 0.0, c = 0.0;
};
double DistanceTo(const ImageLine& line, ImagePoint at);

// Where in `other` the ray of a pixel of `view` is seen. Refuses a ray that `other` sees end-on.
Result<ImageLine> EpipolarLine(const View& view, ImagePoint at, const View& other);

// 3D error of a triangulated point that one pixel of error on each axis of both views brings, when the beams stand at
// `between`: worst and best direction in the plane of the beams, and root mean square over space, each as a multiple
// of the pixel size at the point. Beyond 90 degrees the angle is folded. `between` must not be 0 or 180 degrees.
struct TriangulationSpread {
  double worst = 0.0, best = 0.0, rms = 0.0;
};
TriangulationSpread SpreadOf(Angle between);

}  // namespace fairlead
