// SPDX-License-Identifier: Apache-2.0
// Where a branch leaves the vessel: blood beyond the media, and on the way there blood (it opens into the channel that holds
// the catheter) or tissue.
#pragma once

#include <array>
#include <vector>

#include "imaging/pullback/border_cost.h"

namespace fairlead {

// `sum_mean` as CostsFromPicture leaves it, `eem` in samples. Rays of a shadow are kNone: they are darker than blood.
std::array<BranchRay, kAngles> BranchRaysOf(const Polar& polar, const CostRule& rule, const std::vector<float>& sum_mean, const std::array<float, kAngles>& eem);

// Rays of the widest arc of one kind; 0 where it is too narrow or too wide for a branch.
int WidestBranch(const std::array<BranchRay, kAngles>& ways, BranchRay kind);

}  // namespace fairlead
