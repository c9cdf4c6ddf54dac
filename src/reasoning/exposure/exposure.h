// SPDX-License-Identifier: Apache-2.0
// What irradiated a patient, from several dose reports, as events on a body: this procedure and earlier ones.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "imaging/dosereport/gather.h"
#include "measure/result.h"
#include "reasoning/dose/skin_json.h"

namespace fairlead {

struct SkinExposure {
  SkinFile file;                         // events and settings
  std::optional<GatheredDose> gathered;  // from reports; its events are in `file`
  std::vector<std::string> remarks;
};

// The reports of one procedure. Table positions are counted from its first event; the patient's size and the display's
// calibration are taken where a report states them.
SkinExposure ExposureOf(const std::vector<DoseReport>& reports);

using Day = std::chrono::sys_days;
// "2026-01-05..."; nothing if it is no day.
std::optional<Day> DayIn(std::string_view iso);
// Of the first event that states its start.
std::optional<Day> DayOf(const std::vector<IrradiationEvent>& events);

// How an earlier procedure counts: within 60 days fully, within 183 marked, older ones are named with their peak and not
// added. The rule of 60 days is common advice, from
// memory. Ids of events that are added begin with `name`.
void AddEarlier(SkinExposure earlier, std::string_view name, std::optional<Day> today, SkinExposure& into);

}  // namespace fairlead
