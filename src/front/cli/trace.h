// SPDX-License-Identifier: Apache-2.0
// What `xa trace` takes.
#pragma once

#include <string>
#include <vector>

namespace fairlead {

struct TraceArguments {
  int frame = -1;                            // counted from 0; below 0: the fullest
  std::vector<std::string> through;          // "x,y"
  std::vector<std::string> catheter;         // "x,y", two
  double french = 6.0;
  double pixel_mm = 0.0, pixel_sd_mm = 0.0;  // 0: not given
  std::vector<std::string> healthy;          // "FROM:TO", millimetres
  bool as_clicked = false;
};

}  // namespace fairlead
