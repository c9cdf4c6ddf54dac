// SPDX-License-Identifier: Apache-2.0
// What irradiated the patient of a case, as far as the case knows: dose reports, what was typed, else the headers of its
// runs and the console's total; and the skin that follows.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/practice.h"
#include "front/server/routes.h"
#include "reasoning/dose/estimate.h"
#include "reasoning/exposure/exposure.h"

namespace fairlead {

// A dose report stands in the journal as a file that joined the case, an entry of kind `image` whose modality is SR.
inline constexpr std::string_view kReportModality = "SR";

// Its label is "dose report N", or "earlier dose report N" where whoever brought it said so.
// Again, if it has joined before. Errors: no such case; the folder failed.
Result<Receipt> AddDose(Practice& practice, const std::string& case_id, const std::string& hash, bool earlier, const std::string& device);

struct GivenDose {
  std::string entry;     // its id
  std::string label, day;
  bool earlier = false;  // of an earlier procedure: said so, or its day is before that of the latest report
  DoseReport report;
};

struct CaseDose {
  std::int64_t seq = 0;
  std::vector<GivenDose> given;
  SkinExposure exposure;
  SkinEstimate skin;
  std::vector<std::vector<IrradiationEvent>> extremes;  // the events with a shared rise wholly in one view, for the range
  std::string from;      // "dose reports", "headers of the runs", "typed air kerma by view", "the console's total"; empty: nothing is known
  bool size_from_facts = false;
};

// Errors: no such case; the folder failed. A report that cannot be read is a remark. Takes tenths of a second.
Result<CaseDose> DoseOfCase(Practice& practice, const std::string& case_id);

// The same of a state, from the files of a store.
CaseDose DoseOfState(ImageStore& images, const State& state);

// Skin of docs/wire.md.
std::string SkinPanelJson(const CaseDose& dose);

std::span<const Route> DoseRoutes();  // the skin of a case, and its working views

}  // namespace fairlead
