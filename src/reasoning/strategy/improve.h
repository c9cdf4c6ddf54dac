// SPDX-License-Identifier: Apache-2.0
// Small changes to a plan that raise its utility within the budgets: the first good answer that a search starts from.
#pragma once

#include <vector>

#include "reasoning/strategy/block.h"

namespace fairlead {

struct ImproveSettings {
  std::size_t fixed = 0;     // the first so many rungs stay as they are
  bool keep_order = false;   // only minutes change
};
// Minutes up and down, minutes moved between rungs, rungs swapped, added and left out, until none of it helps.
std::vector<Rung> Improve(const Blocks& blocks, std::vector<Rung> plan, const ImproveSettings& settings = {});

}  // namespace fairlead
