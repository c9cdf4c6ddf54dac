// SPDX-License-Identifier: Apache-2.0
// An invented series of 60 attempts of one operator: difficulty class 0 to 3, and whether the attempt failed. Expected
// failure by class: one minus the success of each class in the registry of source "j-cto-registry-2015".
#pragma once

#include <string_view>
#include <vector>

#include "practice/audit/expected.h"

namespace fairlead {

inline constexpr double kFailureOfClass[] = {0.030, 0.079, 0.135, 0.264};
inline constexpr std::string_view kClasses = "133111331232313321131222322303303331323213100021102332323111";
inline constexpr std::string_view kFailed = "000001110110101000010010000000010000001000000000000000101000";

inline std::vector<Judged> SixtyAttempts() {
  std::vector<Judged> cases;
  for (std::size_t i = 0; i < kClasses.size(); ++i) {
    cases.push_back({.expected = kFailureOfClass[kClasses[i] - '0'], .happened = kFailed[i] == '1'});
  }
  return cases;
}

}  // namespace fairlead
