// SPDX-License-Identifier: Apache-2.0
// A pullback's reading as JSON, and what it says of two wires that will not meet.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "imaging/pullback/pullback.h"
#include "reasoning/spaces/matrix.h"

namespace fairlead {

struct PullbackScale {
  double row_mm = 0.0, column_mm = 0.0;   // size of a pixel
  std::string pixel_from, speed_from;     // "the file's ultrasound region", "typed"
  std::optional<double> speed_mm_s;
};

// The spaces round a frame, the vessel's size and calcium there, the tissue between. The catheter is taken to ride on
// the near wire. True lumen and plaque are not told apart by measuring.
// A person's marks of the two spaces win over what was measured.
struct SpaceMarks {
  std::optional<SpaceOdds> near_wire, far_wire;
};
JoiningQuestion JoiningAt(const PullbackReading& reading, int frame, std::optional<double> mm_per_frame, const SpaceMarks& marks = {});

// The frame that is shown first: the thinnest tissue, or else the smallest lumen.
int FrameOfInterest(const PullbackReading& reading);

// What of a reading is written.
struct PullbackParts {
  std::int64_t number = 0;                 // of the reading
  bool borders = true;                     // with both borders of each frame, kAngles distances each
  std::optional<std::int64_t> after;       // of the reading that the asker has; then `frames` alone are written
  std::vector<int> frames;
};
std::string PullbackJson(const PullbackReading& reading, const PullbackScale& scale, const PullbackParts& parts, const std::string& joining);

// Sections alone, with borders: {"first", "last", "frames" (of the whole pullback), "sections", "remarks"}.
std::string PullbackSectionsJson(const PullbackReading& reading, FrameSpan span, int frames);

}  // namespace fairlead
