// SPDX-License-Identifier: Apache-2.0
// What is told of a course in space: its length, how far it bends and how surely, how it winds.
// The length's sd is first order with named parts; the bend's odds and spread are sampled from the fit's covariance
// (the largest of many bends is not linear), with draws that are the same every time.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "geometry/curve.h"
#include "imaging/pair/spread.h"
#include "measure/quantity.h"
#include "measure/reading.h"

namespace fairlead {

struct Turn {
  Angle turn, sd;
  Length at;  // from the start
};

struct PlaceOnCourse {
  Vec3 at;
  std::array<double, 6> covariance{};  // xx, xy, xz, yy, yz, zz, mm squared
};

struct CourseNumbers {
  Reading<Length> length;
  Reading<Length> chord;  // from end to end, the least that the length can be
  Reading<Angle> bend;    // the largest, between arms of `arm`
  Length bend_at;         // from the start
  Length arm;
  double over_45 = 0.0;     // odds that the largest bend passes 45 degrees
  double over_20_mm = 0.0;  // odds that the length is 20 mm or more
  double winding = 1.0;     // length over chord
  double winding_sd = 0.0;
  Angle turning, turning_sd;  // all turns along the way, together
  std::vector<Turn> turns;    // the sharpest apart from each other by an arm, 30 degrees and more, at most 8
  std::vector<PlaceOnCourse> places;
};

// Whether the course was clicked, or taken where nothing shows it. A clicked course's bend is that of the likeliest
// course; a hidden one's is the mean over the courses that it may have taken.
enum class CourseKnown { kClicked, kHidden };

// The part of a course between two parameters; `first_row` is the row of its first control point in the spread.
struct CoursePart {
  const FittedCourse& course;
  double from = 0.0, to = 0.0;
  std::size_t first_row = 0;
};

// `arm`: over which a bend is taken; a course shorter than 2.5 arms takes 0.4 of its length.
CourseNumbers NumbersOf(const CoursePart& part, const CourseSpread& spread, Length arm, CourseKnown shown);

inline constexpr Length kVesselArm = Length::Millimetres(5.0);   // practice, no source
inline constexpr Length kChannelArm = Length::Millimetres(2.0);  // a channel winds within 8 mm; chosen

}  // namespace fairlead
