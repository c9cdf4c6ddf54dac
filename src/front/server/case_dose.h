// SPDX-License-Identifier: Apache-2.0
// What irradiated the patient of a case, as far as the case knows: dose reports, what was typed, else the headers of its
// runs and the console's total; and the skin that follows.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "casebook/entry.h"
#include "front/server/practice.h"
#include "reasoning/dose/estimate.h"
#include "reasoning/exposure/exposure.h"

namespace fairlead {

struct GivenDose {
  std::string entry;     // its id
  DoseGiven given;
  bool earlier = false;  // of an earlier procedure: said so, or its day is before that of the latest report
};

struct CaseDose {
  std::int64_t seq = 0;
  std::vector<GivenDose> given;
  SkinExposure exposure;
  SkinEstimate skin;
  std::string from;      // "dose reports", "typed by view", "headers of the runs", "the console's total"; empty: nothing is known
  bool size_from_facts = false;
};

// Errors: no such case; the folder failed. A report that cannot be read is a remark. Takes tenths of a second.
Result<CaseDose> DoseOfCase(Practice& practice, const std::string& case_id);

// Skin of docs/wire.md.
std::string SkinPanelJson(const CaseDose& dose);

}  // namespace fairlead
