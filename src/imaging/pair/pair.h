// SPDX-License-Identifier: Apache-2.0
// An angiogram in space: what two or more frames show of marks, vessels, collateral channels and an occlusion becomes
// lengths, bends and courses in millimetres, each with its standard deviation and what that is made of. The occlusion's
// length is taken by the method that the frames allow, and the answer says which.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "imaging/pair/course.h"
#include "imaging/pair/seen.h"
#include "imaging/pair/single.h"
#include "measure/reading.h"
#include "measure/result.h"
#include "measure/source.h"

namespace fairlead {

// What the fit says of one frame against its stated geometry.
struct FramePose {
  std::string key;
  View stated;
  Angle primary, secondary, roll;                  // change of the angles
  Length source_to_detector, source_to_isocentre;  // change
  Vec3 shift, shift_sd;                            // of the patient against the first frame, beyond what was stated, mm
};

struct MarkInSpace {
  std::string name;
  Vec3 at;
  std::array<double, 6> covariance{};       // xx, xy, xz, yy, yz, zz, mm squared
  double stated_px = 0.0, fitted_px = 0.0;  // its worst distance from its clicks, geometry as stated and as fitted
  bool left_out = false, doubtful = false;
};

struct CourseInSpace {
  std::string name;
  PathKind kind = PathKind::kVessel;
  CourseNumbers numbers;
  std::vector<SeenLine> drawn;  // the course as each frame sees it
  std::vector<std::string> warnings;
};

enum class CapsMethod {
  kTwoViews,       // both caps in the same frames of two views: a shift of the heart between the views cancels
  kTwoViewsApart,  // each cap from its own frames: the shifts between them count
  kOneFrame,       // one view, one instant
  kSamePose,       // one pose, two instants
};

struct OcclusionInSpace {
  CapsMethod method = CapsMethod::kTwoViews;
  std::string method_text;  // a sentence
  Reading<Length> length;
  bool at_least = false;  // one view: the true length is this or longer
  double over_20_mm = 0.0;
  std::optional<CourseInSpace> course;  // in space, for two views
  bool course_seen = false;             // clicked inside; else taken between the ends of the vessel
};

struct PairFound {
  Angle between;          // widest, between beams that see the same point
  bool narrow = false;    // below 30 degrees
  bool in_space = false;  // false: one pose alone, only the occlusion was measured
  std::vector<FramePose> poses;
  double stated_rms_px = 0.0, fitted_rms_px = 0.0;  // of the marks
  double widened = 1.0;                             // the clicks' sd was multiplied by this
  std::vector<MarkInSpace> marks;
  std::vector<CourseInSpace> courses;
  std::optional<OcclusionInSpace> occlusion;
  std::vector<std::string> warnings;  // whole sentences
  std::vector<SourceId> sources;
};

// Errors: what CheckSeen and FitAll say; nothing that can be measured; clicks and geometry that contradict each other.
Result<PairFound> MeasurePair(const Seen& seen);

// Where a point of one frame must be in another, by the geometry that the marks so far support.
struct GuideLine {
  ImagePoint from, to;    // the line's ends, inside the picture
  double sd_px = 0.0;     // how far to either side the point may be
  std::size_t marks = 0;  // that the geometry rests on
};
Result<GuideLine> GuideLineOf(const Seen& seen, std::size_t frame, ImagePoint at, std::size_t other);

inline constexpr const char* kPairMethod = "pair 2";  // version of the method, kept with each fact

}  // namespace fairlead
