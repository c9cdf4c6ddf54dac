// SPDX-License-Identifier: Apache-2.0
// The first stage: points that several frames show, and what they say about the geometry.
#pragma once

#include <string>
#include <vector>

#include "imaging/pair/fit.h"

namespace fairlead {

struct Located {
  SeenMark mark;
  Vec3 at;
  double before_px = 0.0;
  bool needed = false;  // a cap or the end of a path: never left out
  bool left_out = false;
  Angle between;
};

// Every mark, cap and end of a path that frames at least 15 degrees apart show, placed by the geometry as stated.
std::vector<Located> LocateMarks(const Seen& seen);

// Fits the geometry to the marks, leaving out one after another those that fit nothing else (a third of them at most).
// False if it did not settle.
bool FitMarks(const Seen& seen, std::vector<Located>& located, Bundle& bundle);

// The worst distance between a point and the clicks on it.
double WorstPx(const Bundle& bundle, const std::vector<Click>& clicks, Vec3 at);

}  // namespace fairlead
