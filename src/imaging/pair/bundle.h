// SPDX-License-Identifier: Apache-2.0
// Everything that was marked, fitted at once: where the gantry and the heart really stood, where the marks are, how the
// courses run. Each click is a residual in its own standard deviations, and each thing that is known beforehand (how
// well a gantry states its angles, how far a heart moves between frames, how much a vessel bends) is one more.
// The solution is the likeliest one; its covariance is first order, from the normal equations there.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include "geometry/view.h"
#include "imaging/pair/seen.h"
#include "imaging/pair/spline.h"
#include "measure/quantity.h"

namespace fairlead {

// What one run's geometry is off by: primary, secondary, roll about the beam (radians), SID, SOD (mm).
using GantryError = std::array<double, 5>;

// How well these are known beforehand, one standard deviation.
inline constexpr Angle kAngleSd = Angle::Degrees(0.7);           // between two views of 0.5 each; practice, no source
inline constexpr Angle kRollSd = Angle::Degrees(0.4);            // of 0.3 each; practice, no source
inline constexpr Length kDistanceSd = Length::Millimetres(3.0);  // SID and SOD; practice, no source

struct FittedMark {
  Vec3 at;
  std::vector<Click> clicks;
};

// A click on a course: only the distance across it counts, unless it is known which point of the course was meant.
struct CourseClick {
  std::size_t frame = 0;
  ImagePoint at;
  double parameter = 0.0;
  double low = 0.0, high = 0.0;                  // between which it may slide
  bool fixed = false;                            // a cap or an end: `parameter` is the point that was meant
  double normal_column = 1.0, normal_row = 0.0;  // across the course in the picture
};

struct FittedCourse {
  Spline spline;
  double span_mm = 3.0;         // length of one span
  double wander_per_mm = 0.01;  // variance of the direction gained in a millimetre, each way across; radians squared
  std::vector<CourseClick> clicks;
};

struct FittedDistance {
  std::size_t from = 0, to = 0;  // marks
  double mm = 0.0, sd = 1.0;
};

struct Bundle {
  std::vector<PairFrame> frames;
  std::vector<GantryError> gantry;           // one a run; the first run's angles stay as stated
  std::vector<std::array<double, 3>> shift;  // one a frame, mm, added to its patient_shift; the first stays 0
  std::vector<std::array<double, 3>> shift_sd;
  std::vector<FittedMark> marks;
  std::vector<FittedCourse> courses;
  std::vector<FittedDistance> distances;
  double click_sd_px = 1.0;
};

Bundle BundleOf(const std::vector<PairFrame>& frames, double click_sd_px);

// Where a point of the patient is seen in a frame, with the fitted geometry.
ImagePoint SeenIn(const Bundle& bundle, std::size_t frame, Vec3 point);
// The frame's view with the fitted angles, distances and shift; the roll is left out.
View FittedView(const Bundle& bundle, std::size_t frame);

// Moves everything to the likeliest place. Clicks that fit badly count less (Huber). False if it did not settle.
bool Solve(Bundle& bundle);

// Normal equations at the solution, one matrix for each kind of knowledge, rows and columns in the order below.
struct Normals {
  std::size_t size = 0;
  std::vector<std::size_t> mark_at, course_at, gantry_at, shift_at;  // first row of each
  struct Kind {
    std::string name;
    std::vector<double> matrix;  // size x size, row by row
  };
  std::vector<Kind> kinds;
  double squares = 0.0;       // sum of the clicks' squared residuals, in sd
  std::size_t residuals = 0;  // of clicks
};
Normals NormalsOf(Bundle& bundle);

inline constexpr std::array<const char*, 4> kKinds = {"clicks", "geometry of the gantry", "shift between the frames",
                                                      "course between the clicks"};

}  // namespace fairlead
