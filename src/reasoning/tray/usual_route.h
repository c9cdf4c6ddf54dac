// SPDX-License-Identifier: Apache-2.0
// Routes of usual lengths, for a case in which nobody has measured yet. Every stretch is marked as usual.
#pragma once

#include <string_view>
#include <vector>

#include "reasoning/kit/reach.h"

namespace fairlead {

// From the guide's tip to beyond the lesion. Vessel: LAD, LCX, RCA, LM or graft; empty if it is another.
std::vector<Stretch> UsualAntegrade(std::string_view vessel);

// From the donor's ostium back to the occluded vessel's. Channel: septal, epicardial, ipsilateral, graft, atrial.
std::vector<Stretch> UsualRetrograde(std::string_view vessel, std::string_view channel);

}  // namespace fairlead
