// SPDX-License-Identifier: Apache-2.0
// Small numbers, once a table leaves the practice: a count below the least that is shown is starred, the others are rounded,
// so that nobody can be told by subtraction. One's own cases are shown to oneself as they are.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace fairlead {

// Of English hospital statistics, sub-national: 1 to 7 starred, else to the nearest 5, zero as zero (source
// "small-numbers-hes"). Since counts are rounded, no second cell has to be starred to hide the first.
struct DisclosureRule {
  std::int64_t least = 8;
  std::int64_t round_to = 5;
};

// Nothing: starred.
std::optional<std::int64_t> DisclosedCount(std::int64_t count, const DisclosureRule& rule = {});

// A share, from counts that may be shown both: nothing if the cases or the events are starred.
struct DisclosedShare {
  std::optional<std::int64_t> events, cases;
  std::optional<double> share;   // of the rounded counts: it says no more than they do
};
DisclosedShare Disclose(std::int64_t events, std::int64_t cases, const DisclosureRule& rule = {});

}  // namespace fairlead
