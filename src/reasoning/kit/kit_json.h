// SPDX-License-Identifier: Apache-2.0
// The kit's questions and answers as JSON text; docs/wire.md and docs/methods-kit.md have the shapes.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "reasoning/kit/import.h"
#include "reasoning/kit/kinds.h"
#include "reasoning/kit/label.h"
#include "reasoning/kit/question.h"
#include "reasoning/kit/uses.h"

namespace fairlead {

std::string FitJson(const FitReport& report);
std::string KindsJson(const KindsReport& report);  // FitJson's shape without one verdict, "combinations" filled
Result<FitQuestion> FitQuestionFromJson(std::string_view text);

std::string LabelJson(const Label& label);
std::string ImportJson(const Import& import, std::string_view today, std::size_t most_devices);
std::string DeviceJson(const Device& device, std::string_view today);
std::string DevicesJson(const Shelf& shelf, const std::vector<std::size_t>& which, std::string_view today);
// The same with {"provisional": [{gtin, used}]}: numbers that were used and that the shelf does not know.
std::string LeftJson(const ShelfLeft& left, const std::vector<std::size_t>& which, std::string_view today);

// The wires from soft to stiff with pressure, step and what each carries at some free tips; guide support.
std::string WiresJson(const Shelf& shelf, std::string_view today);
std::string SupportJson();

// The text that the lab keeps under the name `shelf`: {"invented", "devices": [...]}, read back without loss.
std::string ShelfJson(const Shelf& shelf);
Result<Shelf> ShelfFromJson(std::string_view json);

// The same in parts of at most `most_bytes`, for the names of ShelfPartName: {"part", "of", "list", ...}; `list` tells the
// parts of one list from those of another. A part that is missing or of another list is an error, never a smaller shelf.
std::vector<std::string> ShelfParts(const Shelf& shelf, std::size_t most_bytes, std::string_view list);
std::string ShelfPartName(std::size_t part);                  // 0: "shelf", 1: "shelf-2"
std::size_t ShelfPartCount(std::string_view first_part);      // 1 if it does not say
Result<Shelf> ShelfFromParts(const std::vector<std::string_view>& parts);

}  // namespace fairlead
