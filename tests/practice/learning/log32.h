// SPDX-License-Identifier: Apache-2.0
// 32 invented timed attempts, easy (L) and hard (H); what is expected of them in these tests was computed with R 4.2.2
// (optim, survival 3.5) and Python (SciPy 1.10), not with this program.
#pragma once

#include <vector>

#include "practice/learning/cure.h"

namespace fairlead {

inline std::vector<Trial> Easy() {
  using enum Ending;
  return {{44, kStopped}, {18, kCrossed}, {27, kStopped}, {6.5, kCrossed}, {0.5, kCrossed}, {7, kCrossed}, {4, kCrossed}, {24, kStopped},
          {7, kCrossed}, {14, kCrossed}, {5, kCrossed}, {8.5, kCrossed}, {14, kStopped}, {16.5, kCrossed}, {10, kStopped}, {1.5, kCrossed}};
}
inline std::vector<Trial> Hard() {
  using enum Ending;
  return {{41, kStopped}, {32, kComplication}, {41, kStopped}, {13.5, kCrossed}, {8, kCrossed}, {2.5, kCrossed}, {20, kStopped}, {34, kStopped},
          {9, kCrossed}, {20, kStopped}, {17, kStopped}, {11, kComplication}, {22.5, kCrossed}, {15, kCrossed}, {26, kStopped}, {10.5, kCrossed}};
}
inline std::vector<Trial> Both() {
  std::vector<Trial> all = Easy();
  for (const Trial& trial : Hard()) all.push_back(trial);
  return all;
}

}  // namespace fairlead
