// SPDX-License-Identifier: Apache-2.0
// Invented past cases with a known truth, for the demonstration and for tests of the charts: outcomes are drawn from the
// published model, with the odds of failure multiplied from one case on.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

#include "practice/audit/row.h"

namespace fairlead {

struct InventedPractice {
  std::uint64_t seed = 1;
  std::size_t cases = 180;
  std::size_t drift_from = 120;   // number of the first case that drifts, from 0
  double odds_factor = 2.5;       // of failure, from there on
  std::size_t more_tries = 0;     // attempts of each case beyond those drawn: none of them crosses
  Instant last{};                 // when the last case began; the others go back from it, about one a week
};

// The same rows for the same order, on every machine. Ids begin with "invented-".
std::vector<CaseRow> InventPastCases(const InventedPractice& order);
// The same one after another, for so many that they should not lie in memory at once.
void InventEach(const InventedPractice& order, const std::function<void(CaseRow&&)>& take);

}  // namespace fairlead
