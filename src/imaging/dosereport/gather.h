// SPDX-License-Identifier: Apache-2.0
// Several dose files of one procedure as one list of events: reports come for each series, again and again while the case
// runs, and beside the runs whose doses they hold. Events are a set.
#pragma once

#include <vector>

#include "imaging/dosereport/report.h"

namespace fairlead {

struct GatheredDose {
  std::vector<IrradiationEvent> events;       // in the order of their start
  std::vector<PlaneTotals> totals;            // of the latest version of each report
  double stated_kerma = 0.0, summed_kerma = 0.0;                // Gy; stated: sum over planes, 0 if none is
  double stated_area_product = 0.0, summed_area_product = 0.0;  // Gy m2
  double fluoroscopy_minutes = 0.0;           // the larger of what is stated and what the events sum to
  std::optional<double> calibration, height_cm, weight_kg;
  std::vector<std::string> remarks;
};

// Totals and sums may differ by 2 %; beyond that both are named, and the kerma that no event holds is added as an event
// without a direction, "not itemised", which raises the upper end of an estimate. Of runs only those count whose event no
// report holds, and none where a report of the same study is there.
GatheredDose Gather(const std::vector<DoseReport>& reports);

}  // namespace fairlead
