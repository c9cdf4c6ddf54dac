// SPDX-License-Identifier: Apache-2.0
// The second stage: courses that two frames show are matched with the geometry that the marks gave, and become splines
// that the clicks hold across their course.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "imaging/pair/bundle.h"
#include "imaging/pair/match.h"
#include "measure/result.h"

namespace fairlead {

// A stretch of a course in space with the clicks that showed it, each with its length along the stretch.
struct CourseStretch {
  std::vector<Vec3> points;
  struct Placed {
    std::size_t frame = 0;
    ImagePoint at;
    double along_mm = 0.0;
    bool end = false;  // the first or last point of an end that all frames share
  };
  std::vector<Placed> clicks;
  double uncertain = 0.0;  // share that ran along the epipolar line
};

// The stretch that the two widest apart of the lines show; the clicks of all lines are placed on it. Errors: fewer than
// two lines in frames 15 degrees apart, or no common stretch.
Result<CourseStretch> StretchOf(const Bundle& geometry, std::span<const SeenLine> lines, FreeEnds free);

// How a kind of vessel is described.
struct Bending {
  double span_mm, wander_per_mm;
};
Bending BendingOf(PathKind kind);

// A spline along points, span by span.
FittedCourse CourseAlong(std::span<const Vec3> points, const Bending& bending);

// Each click slides to the nearest place of the course as its frame sees it, and the course's direction there is noted.
// Clicks farther off than `most_px` are dropped; gives how many.
std::size_t Associate(const Bundle& bundle, FittedCourse& course, double most_px);

}  // namespace fairlead
