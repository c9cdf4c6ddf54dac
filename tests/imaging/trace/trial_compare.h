// SPDX-License-Identifier: Apache-2.0
// A trace held against the truth of its trial.
#pragma once

#include <cstddef>
#include <vector>

#include "tests/imaging/trace/trial_setup.h"

namespace fairlead {

// The place of the true course that is nearest to a point of the picture.
struct PlaceOfTruth {
  double away_px = 1e9, along_mm = 0.0, per_mm = 1.0;
};
// Looked for from node `from` to node `to`, which must be one of the truth.
PlaceOfTruth NearestTruth(const std::vector<TruePoint>& truth, PixelPoint p, std::size_t from, std::size_t to);

// With `narrowed` the least diameter and percent stenosis too. A trace that was refused counts as lost.
TrialResult CompareWithTruth(const TrialSetup& setup, bool narrowed, const Result<VesselTrace>& trace);

}  // namespace fairlead
