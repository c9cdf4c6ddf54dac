// SPDX-License-Identifier: Apache-2.0
// From what was marked to one fit of it all: marks first (they tell how the frames lie to each other), then the courses
// that are matched with that geometry, then everything together.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "imaging/pair/bundle.h"
#include "imaging/pair/seen.h"
#include "imaging/pair/spread.h"
#include "measure/result.h"

namespace fairlead {

// One mark as the fit found it. The caps and the ends of paths are marks too.
struct FitMark {
  std::string name;
  Vec3 at;
  std::array<double, 6> covariance{};
  double before_px = 0.0;  // how far from the clicks it was seen with the geometry as stated, the worst frame
  double after_px = 0.0;   // the same with the fitted geometry
  bool left_out = false;   // it fitted nothing else, so it was not used for the geometry
  bool doubtful = false;   // it fits badly, but it is needed
};

struct FitCourse {
  std::string name;
  PathKind kind = PathKind::kVessel;
  std::size_t index = 0;  // in the bundle
  double from = 0.0, to = 0.0;
  std::size_t dropped = 0;  // clicks that fitted nothing
  double uncertain = 0.0;   // share of the course that ran along the epipolar line
};

struct Fit {
  Bundle bundle;
  Normals normals;
  CourseSpread spread;
  std::vector<FitMark> marks;
  std::vector<FitCourse> courses;
  std::optional<FitCourse> occlusion;
  bool course_seen = false, before_seen = false, after_seen = false;  // of the occlusion, in two frames at least
  Angle between;  // widest angle between two beams that see the same mark or course
  std::vector<std::string> remarks;
};

// Errors: nothing seen in two frames at least 15 degrees apart; the table unknown and too few marks; a fit that does
// not settle or whose clicks cannot be brought together.
Result<Fit> FitAll(const Seen& seen);

// The geometry alone, from what is marked so far; stays as stated where that is too little.
struct FitPose {
  Bundle bundle;
  std::size_t marks = 0;  // that it rests on
};
FitPose PoseFrom(const Seen& seen);

inline constexpr double kDoubtful = 3.5;  // standard deviations of a click; practice, no source
inline constexpr std::size_t kMarksForUnknownTable = 3;

}  // namespace fairlead
