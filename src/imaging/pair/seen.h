// SPDX-License-Identifier: Apache-2.0
// What a reader marked in two or more frames of angiogram runs: single points, courses of vessels, and an occlusion.
// Places are pixels of one frame; each frame knows the view from which it was taken.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "geometry/view.h"
#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

// What is known of where the patient lay when a frame was taken, against the first frame.
enum class TablePlace {
  kUnknown,  // the table may have moved: the shift has to come from the marks
  kStill,    // the table stood; breath and beat move the heart all the same
  kGiven,    // the table's positions are known and stand in the view's patient_shift
};

struct PairFrame {
  std::string key;    // "a", "b", "a2": how the marks name it
  int run = 0;        // frames of one run share the gantry and its errors
  int frame = 0;      // 0-based, in that run
  std::string image;  // content hash; empty if none
  View view;
  TablePlace table = TablePlace::kUnknown;
  std::optional<Length> shift_sd;  // instead of the usual one for `table`
};

// One click: in which of the frames, and where.
struct Click {
  std::size_t frame = 0;
  ImagePoint at;
};

// The same point of the patient in several frames.
struct SeenMark {
  std::string name;
  std::vector<Click> clicks;
};

// A course as clicked or traced in one frame.
struct SeenLine {
  std::size_t frame = 0;
  std::vector<ImagePoint> points;
};

enum class PathKind { kVessel, kCollateral };

// The same stretch of one vessel in several frames, in the same direction; its ends are the same points in all.
struct SeenPath {
  std::string name;
  PathKind kind = PathKind::kVessel;
  std::vector<SeenLine> lines;
};

// The occlusion between its caps. `before` ends at the near cap and `after` begins at the far cap; where they begin and
// end on the other side may differ between frames. `course` is where the reader believes the vessel to run inside.
struct SeenOcclusion {
  SeenMark near_cap, far_cap;
  std::vector<SeenLine> before, course, after;
};

// A distance between two marks that is known from elsewhere, such as the markers of a balloon.
struct KnownDistance {
  std::string from, to;
  Length length, sd;
};

struct Seen {
  std::vector<PairFrame> frames;
  std::vector<SeenMark> marks;
  std::vector<SeenPath> paths;
  std::optional<SeenOcclusion> occlusion;
  std::vector<KnownDistance> known;
  double click_sd_px = 1.0;  // of one click and axis; practice, no source
};

// Bounds on what is taken in.
inline constexpr std::size_t kMostFrames = 8, kMostMarks = 60, kMostPaths = 12, kMostLinePoints = 2000;

// Refuses views that cannot be, places that are not in the picture, and lists beyond the bounds; names the culprit.
Status CheckSeen(const Seen& seen);

}  // namespace fairlead
