// SPDX-License-Identifier: Apache-2.0
// What a trial is made of: a scene, the stretch of a vessel drawn by lot on it, and the truth of that stretch by the generator's
// own parameters.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "imaging/phantom/render.h"
#include "imaging/phantom/scene.h"
#include "tests/imaging/trace/trial.h"

namespace fairlead {

// A node of the vessel as the view shows it.
struct TruePoint {
  PixelPoint at;
  double wide_px = 0.0, per_mm = 1.0, along_mm = 0.0;  // diameter; pixels of the picture a mm of vessel; from the vessel's first node
};

struct TrialSetup {
  Scene scene;
  RunPlan plan;
  std::size_t vessel = 0;
  std::size_t begin = 0, end = 0;  // nodes of the stretch, both traced
  std::vector<TruePoint> truth;    // of the whole vessel, one a node
  double healthy_least_mm = 0.0;   // diameter where the narrowing is deepest, without it
};

// Nothing where no vessel of forty scenes drawn by lot is long enough in its view.
std::optional<TrialSetup> SetUpTrial(const TrialOrder& order);

// When the frame that is traced was taken.
Moment TrialMoment(const TrialSetup& setup);

}  // namespace fairlead
