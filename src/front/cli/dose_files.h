// SPDX-License-Identifier: Apache-2.0
// Events for the commands that need them: from a file of events, from dose reports, from an earlier procedure's reports.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "imaging/dosereport/gather.h"
#include "measure/result.h"
#include "reasoning/dose/skin_json.h"

namespace fairlead {

struct DoseFiles {
  SkinFile file;                        // events and settings
  std::optional<GatheredDose> gathered; // from reports; its events are in `file`
  std::vector<std::string> remarks;
};

Result<DoseFiles> EventsFromJson(const std::filesystem::path& path);
// Folders are looked through. Errors: not one file that is a dose report or a run.
Result<DoseFiles> EventsFromReports(const std::vector<std::filesystem::path>& files);

// A dose report or a list of events, told apart by the file's first byte.
Result<DoseFiles> EventsFromAny(const std::filesystem::path& path);

// Adds earlier reports: within 60 days fully, within 183 marked, older ones are only named. The rule of 60 days is common
// advice, from memory. Their ids begin with the day.
Status AddEarlier(const std::vector<std::filesystem::path>& files, DoseFiles& into);

}  // namespace fairlead
