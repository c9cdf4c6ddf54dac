// SPDX-License-Identifier: Apache-2.0
// A measured number: value, standard deviation, and where it came from. Uncertainty propagates to first order here;
// a function that samples instead says so in its own header.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace fairlead {

// Where a number came from: one of these, whichever fits.
struct Origin {
  std::string image;       // SHA-256 of the image's bytes, hex; empty if no image
  int frame = -1;          // 0-based frame of that image; -1 if none
  std::string entry;       // id of the journal entry; empty if none
  std::string method;      // "ruler, catheter 6 French", "typed", "computed from ..."
};

// One part of an uncertainty, named so that a person can see what it is made of. `sd` is in the reading's own unit.
template <typename Q>
struct UncertaintyPart {
  std::string name;
  Q sd;
};

template <typename Q>
struct Reading {
  Q value{};
  std::optional<Q> sd;                       // absent = unknown, shown as such; never taken as zero
  std::vector<UncertaintyPart<Q>> parts;     // independent; their root sum of squares is `sd`
  Origin origin;
};

// sqrt(a^2 + b^2 + ...) of independent standard deviations; zero when there are none. Scaled by the largest, so that
// no square overflows or vanishes.
template <typename Q>
Q RootSumOfSquares(const std::vector<UncertaintyPart<Q>>& parts) {
  Q largest{};
  for (const auto& part : parts) largest = std::max(largest, part.sd);
  if (largest == Q{}) return largest;
  double sum = 0.0;
  for (const auto& part : parts) sum += (part.sd / largest) * (part.sd / largest);
  return largest * std::sqrt(sum);
}

}  // namespace fairlead
