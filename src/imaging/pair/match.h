// SPDX-License-Identifier: Apache-2.0
// Which place of one picture's course is which place of the other's: each point of a course lies somewhere on a line of
// the other picture (its epipolar line), and along a vessel the order is kept.
#pragma once

#include <span>
#include <vector>

#include "geometry/view.h"
#include "measure/result.h"

namespace fairlead {

// A smooth course through clicks, about one point a pixel and at most 400; the clicks stay on it.
struct SmoothLine {
  std::vector<ImagePoint> points;
  std::vector<double> along;        // length in pixels from the first point to each
  std::vector<double> click_along;  // the same for each click
};
SmoothLine ThroughClicks(std::span<const ImagePoint> clicks);

ImagePoint PlaceOn(const SmoothLine& line, double along);

// Pairs of lengths along the two courses that show the same point, from start to end.
struct Matched {
  double on_a = 0.0, on_b = 0.0;  // pixels along each course
  bool certain = true;            // false where the course runs along the epipolar line: taken by order alone
};

// With a free end the courses need not begin (or end) at the same point: only what both show is matched.
struct FreeEnds {
  bool start = false, end = false;
};

// Errors: the rays are less than 15 degrees apart, or the two courses show no common stretch.
Result<std::vector<Matched>> MatchCourses(const View& a, const SmoothLine& on_a, const View& b, const SmoothLine& on_b,
                                          FreeEnds free);

}  // namespace fairlead
