// SPDX-License-Identifier: Apache-2.0
// The frames that were asked for, with the views of their runs.
#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "front/server/pair_body.h"

namespace fairlead {

Result<Seen> SeenWithRuns(PointsBody body, const RunLookup& runs) {
  Seen seen = std::move(body.seen);
  std::vector<std::string> names;
  for (const FrameAsked& asked : body.frames) {
    auto run = runs(asked.run);
    if (!run.ok()) return Within("frame \"" + asked.key + "\"", run.error());
    auto view = ViewOfFrame(**run, asked.frame, asked.view);
    if (!view.ok()) return Within("frame \"" + asked.key + "\"", view.error());
    PairFrame frame;
    frame.key = asked.key;
    const auto known = std::find(names.begin(), names.end(), asked.run);
    frame.run = static_cast<int>(known - names.begin());
    if (known == names.end()) names.push_back(asked.run);
    frame.frame = asked.frame, frame.image = (*run)->hash, frame.view = *view;
    // Frames of the first run: its table is the reference; only breath and beat lie between them.
    frame.table = asked.shift                          ? TablePlace::kGiven
                  : body.table_still || frame.run == 0 ? TablePlace::kStill
                                                       : TablePlace::kUnknown;
    if (asked.shift) frame.view.patient_shift = *asked.shift;
    frame.shift_sd = asked.shift_sd;
    seen.frames.push_back(std::move(frame));
  }
  return seen;
}

}  // namespace fairlead
