// SPDX-License-Identifier: Apache-2.0
// Courses of vessels as polylines: their length, evenly spaced points, directions and bends.
#pragma once

#include <span>
#include <vector>

#include "geometry/vector.h"
#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

// Length from the first point to each point, mm; starts with 0.
std::vector<double> ArcLengths(std::span<const Vec3> course);
Length LengthOf(std::span<const Vec3> course);

// The point at a distance from the start, clamped to the ends. The course must not be empty.
Vec3 PointAt(std::span<const Vec3> course, Length from_start);

// The part between two distances from the start, ends included exactly, the course's own points between them.
std::vector<Vec3> PartOf(std::span<const Vec3> course, Length from, Length to);

// Evenly spaced points, at most `spacing` apart, first and last point kept. Refuses an empty course, a spacing that is
// not above zero, and numbers that are not finite.
Result<std::vector<Vec3>> Resample(std::span<const Vec3> course, Length spacing);

// Unit directions by central differences, one a point; one-sided at the ends; zero where points coincide.
std::vector<Vec3> Tangents(std::span<const Vec3> course);

// The largest turn between the mean directions of two neighbouring windows of the given length: 0 is straight. A course
// shorter than two windows gives the turn between its halves.
struct Bend {
  Angle turn;
  Length at;  // from the start, where the two windows meet
};
inline constexpr Length kBendWindow = Length::Millimetres(5.0);  // practice, no source
Bend LargestBend(std::span<const Vec3> course, Length window = kBendWindow);

}  // namespace fairlead
