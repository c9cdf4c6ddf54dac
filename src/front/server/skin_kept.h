// SPDX-License-Identifier: Apache-2.0
// The last few estimates, so that an entry that changes nothing of the dose does not cost a second for a long report.
#pragma once

#include <span>

#include "reasoning/dose/estimate.h"

namespace fairlead {

// As EstimateSkin; from memory where the same events and settings were asked before. At most 4 are kept, of at most 20,000
// events each. Safe from several threads.
SkinEstimate EstimateSkinKept(std::span<const IrradiationEvent> events, const BeamSettings& settings);

}  // namespace fairlead
