// SPDX-License-Identifier: Apache-2.0
// Phantom runs as no grade makes them: other trees, noise, blur, scatter, contrast, depth, matrix, distances, catheters and
// calcium, all drawn by lot. What was chosen on the grades is tried on these.
#pragma once

#include <cstddef>
#include <string_view>

#include "imaging/phantom/random.h"
#include "imaging/phantom/render.h"

namespace fairlead {

std::string_view OtherSceneName(SeededRandom& random);

// Changes the plan, the vessels' sizes and winding, the catheters' sizes; adds calcium on vessels.
void MakeOther(Scene& scene, RunPlan& plan, SeededRandom& random);

// More than half of the medium reaches all nodes of the stretch.
bool FilledBetween(const Scene& scene, std::size_t vessel, std::size_t first, std::size_t last);

}  // namespace fairlead
