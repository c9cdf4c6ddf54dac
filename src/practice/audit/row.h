// SPDX-License-Identifier: Apache-2.0
// What the audit keeps of one finished case. Ids and figures only: no name of a patient, no free text.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

// One attempt with one strategy.
struct Try {
  std::string strategy;   // "AW", "ADR", "RW", "RDR" or the lab's own word
  double minutes = 0;
  bool crossed = false;
};

struct CaseRow {
  std::string id;
  Instant began;
  std::string by;                        // the operator, as the lab writes them
  std::string vessel;
  std::optional<int> j_cto;              // 0 to 5
  std::vector<Try> tries;                // in the order in which they were made
  std::optional<bool> success;           // technical success
  std::optional<bool> complication;      // a major one
  std::optional<double> minutes, contrast_ml, air_kerma_gy;
  bool invented = false;
};

// The lab's knowledge under this name holds the cases from before the journal was kept.
inline constexpr std::string_view kPastCases = "past-cases";

// {"cases": [{"case", "began", "by", "vessel"?, "j_cto"?, "tries"?: [{"strategy", "minutes", "crossed"}],
//  "success"?, "complication"?, "minutes"?, "contrast_ml"?, "air_kerma_gy"?, "invented"?}]}; names beginning with "_" are remarks.
// At most 8 MiB, 100,000 cases. Errors name the case and the member.
Result<std::vector<CaseRow>> ParseCaseRows(std::string_view json);
std::string CaseRowsJson(const std::vector<CaseRow>& rows);

}  // namespace fairlead
