// SPDX-License-Identifier: Apache-2.0
// Points of two-view measurement as they come in a file or a request (docs/wire.md), and what was found as JSON.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "imaging/pair/pair.h"
#include "imaging/pair/run_view.h"
#include "measure/result.h"

namespace fairlead {

// A frame as it is asked for, before its run is read.
struct FrameAsked {
  std::string key;  // "a"
  std::string run;  // "A" or "B" in a file beside two runs; the image's hash in a request
  int frame = 0;
  ViewStated view;
  std::optional<Vec3> shift;
  std::optional<Length> shift_sd;
};

struct PointsBody {
  std::vector<FrameAsked> frames;
  bool table_still = false;
  Seen seen;  // all but its frames
};

// `run_member` is how a frame names its run: "run" or "image".
Result<PointsBody> ParsePairPoints(std::string_view json, std::string_view run_member);

// The same with a point whose line in another frame is asked for.
struct GuideBody {
  PointsBody points;
  std::size_t frame = 0, other = 0;
  ImagePoint at;
};
Result<GuideBody> ParsePairGuide(std::string_view json, std::string_view run_member);

// Gives the run of a frame; the pointer lives as long as the caller holds the runs.
using RunLookup = std::function<Result<const Run*>(const std::string& name)>;
Result<Seen> SeenWithRuns(PointsBody body, const RunLookup& runs);

std::string PairJson(const PairFound& found, const Seen& seen);
std::string GuideJson(const GuideLine& guide);

}  // namespace fairlead
