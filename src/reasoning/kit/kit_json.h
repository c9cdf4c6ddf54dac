// SPDX-License-Identifier: Apache-2.0
// The kit's questions and answers as JSON text; docs/wire.md and docs/methods-kit.md have the shapes.
#pragma once

#include <string>
#include <string_view>

#include "reasoning/kit/import.h"
#include "reasoning/kit/label.h"
#include "reasoning/kit/question.h"

namespace fairlead {

std::string FitJson(const FitReport& report);
Result<FitQuestion> FitQuestionFromJson(std::string_view json);

std::string LabelJson(const Label& label);
std::string ImportJson(const Import& import, std::string_view today, std::size_t most_devices);
std::string DeviceJson(const Device& device, std::string_view today);
std::string DevicesJson(const Shelf& shelf, const std::vector<std::size_t>& which, std::string_view today);

// The wires from soft to stiff with pressure, step and what each carries at some free tips; guide support.
std::string WiresJson(const Shelf& shelf, std::string_view today);
std::string SupportJson();

// The text that the lab keeps under the name `shelf`: {"invented", "devices": [...]}, read back without loss.
std::string ShelfJson(const Shelf& shelf);
Result<Shelf> ShelfFromJson(std::string_view json);

}  // namespace fairlead
