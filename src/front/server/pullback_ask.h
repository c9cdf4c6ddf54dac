// SPDX-License-Identifier: Apache-2.0
// What is asked of a pullback and kept of a reader's marks, as JSON (docs/wire.md, POST /api/pullback), for the page and the command line.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/pullback_json.h"
#include "imaging/pullback/align.h"

namespace fairlead {

struct PullbackAsk {
  std::string image;                             // the run's hash; empty on the command line
  std::optional<double> pixel_mm, speed_mm_s;    // where the file does not say, or says it wrongly
  std::vector<BorderPoint> corrections;
  std::vector<StentPoint> stent_points;
  std::vector<WireClick> clicks;
  std::optional<SpaceOdds> near_wire, far_wire;  // a person's marks win over what was measured
  bool borders = true;                           // with both borders of each frame
  std::vector<PlacePair> pairs;                  // named places on a traced vessel; kept with the marks, not read
  std::string vessel;                            // the entry of the fact that holds the trace
  std::optional<int> frame;                      // of /near: the frame that is looked at
  std::optional<std::int64_t> after;             // a reading that the asker has: only frames that differ from it are sent
};

// Errors: no object; an unknown member; a value of another kind; `image` missing where it is needed.
Result<PullbackAsk> ParsePullbackAsk(std::string_view json, bool with_image);

// What a reader sets by hand and is kept of a run: pixel_mm (the scale at that time), speed_mm_s, corrections, clicks.
std::string PullbackMarksJson(const PullbackAsk& marks);

// The body of POST /api/pullback/{hash}/marks: {"after": version, "by", "marks"}.
struct PullbackMarksBody {
  int after = 0;
  std::string by;
  PullbackAsk marks;
};
Result<PullbackMarksBody> ParsePullbackMarks(std::string_view json);

// The body of POST /api/pullback/align: {"frames", "mm_per_frame"?, "vessel_mm", "pairs", "grows"?}.
Result<AlignQuestion> ParsePullbackAlign(std::string_view json);
std::string PullbackAlignJson(const Alignment& alignment);

}  // namespace fairlead
