// SPDX-License-Identifier: Apache-2.0
// A tray as JSON and as a list to print.
#pragma once

#include <string>
#include <string_view>

#include "measure/result.h"
#include "reasoning/tray/tray.h"

namespace fairlead {

// Settings over a question: {"strategies", "vessel_mm", "radial_artery_mm", "antegrade_cm", "retrograde_cm"}.
Result<TrayQuestion> TrayQuestionFromJson(std::string_view json, TrayQuestion base);

std::string TrayJson(const TrayQuestion& question, const TrayAnswer& answer, const Shelf& shelf);

// One device a line with a box to tick, what for, lot and place; what is missing stands on top.
std::string PickListText(const TrayQuestion& question, const TrayAnswer& answer, const Shelf& shelf);

}  // namespace fairlead
