// SPDX-License-Identifier: Apache-2.0
// What a dose file says of the X-rays: a radiation dose report (PS3.16 TID 10001 and its children), or the header of an
// angiogram run where there is no report. What can be used is used; what is missing, converted or doubted is named.
// Never a patient's name, number or birth date.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casebook/irradiation.h"
#include "imaging/dicom/elements.h"
#include "measure/result.h"

namespace fairlead {

struct PlaneTotals {
  Plane plane = Plane::kSingle;
  bool all_planes = false;
  std::optional<Kerma> kerma;
  std::optional<AreaProduct> area_product;
  std::optional<Duration> fluoroscopy, acquisition;
};

enum class DoseSource { kReport, kRunHeader };

struct DoseReport {
  DoseSource from = DoseSource::kReport;
  std::string study;     // its unique identifier, to tell versions of one report apart; never shown
  std::string written;   // ISO 8601, as stated
  std::vector<IrradiationEvent> events;
  std::vector<PlaneTotals> totals;
  std::optional<double> calibration;           // measured over displayed kerma, if the report states one for all
  std::optional<double> height_cm, weight_kg;  // of the patient
  std::size_t containers = 0;                  // events that the file holds, usable or not
  std::vector<std::string> remarks;
};

// The whole file in memory, hostile or not. Errors: not DICOM; neither a dose report nor an angiogram run; broken before
// the content; more than 20,000 events.
Result<DoseReport> ReadDoseReport(Bytes file);

}  // namespace fairlead
