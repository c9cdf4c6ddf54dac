// SPDX-License-Identifier: Apache-2.0
// Events for the commands that need them: from a file of events, from dose reports, from an earlier procedure's reports.
#pragma once

#include <filesystem>
#include <vector>

#include "measure/result.h"
#include "reasoning/exposure/exposure.h"

namespace fairlead {

Result<SkinExposure> EventsFromJson(const std::filesystem::path& path);
// Folders are looked through; each file is read in a child. Errors: not one file that is a dose report or a run.
Result<SkinExposure> EventsFromReports(const std::vector<std::filesystem::path>& given);

// A dose report or a list of events, told apart by the file's first byte.
Result<SkinExposure> EventsFromAny(const std::filesystem::path& path);

// Adds files of earlier procedures by their day.
Status AddEarlierFiles(const std::vector<std::filesystem::path>& given, SkinExposure& into);

}  // namespace fairlead
