// SPDX-License-Identifier: Apache-2.0
// The rule of English hospital statistics (sub-national counts 1 to 7 starred, others to the nearest 5, zero shown), on counts
// of 3, 12 and 40 that add up to 55, and 8, 0 and 22 that add up to 30.
#include "practice/audit/disclosure.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

TEST(Disclosure, StarsSmallCountsAndRoundsTheOthers) {
  const struct { std::int64_t count; std::optional<std::int64_t> shown; } rows[] = {{0, 0}, {1, std::nullopt}, {3, std::nullopt}, {7, std::nullopt}, {8, 10}, {12, 10}, {13, 15}, {22, 20}, {30, 30}, {40, 40}, {55, 55}};
  for (const auto& row : rows) EXPECT_EQ(DisclosedCount(row.count), row.shown) << row.count;
}

// Whatever is shown of 55 = 3 + 12 + 40: the starred 3 cannot be told by subtraction, for each shown count may be off by 2.
TEST(Disclosure, LeavesTheStarredCountUncertainBySubtraction) {
  std::int64_t fits = 0;
  for (std::int64_t small = 1; small <= 7; ++small) {
    bool possible = false;
    for (std::int64_t b = 8; b <= 16; ++b) {
      for (std::int64_t c = 36; c <= 44; ++c) {
        possible = possible || (DisclosedCount(b) == 10 && DisclosedCount(c) == 40 && DisclosedCount(small + b + c) == 55);
      }
    }
    fits += possible ? 1 : 0;
  }
  EXPECT_EQ(fits, 7);  // every starred value remains possible
}

TEST(Disclosure, HidesFewFailuresAsWellAsFewEvents) {
  EXPECT_FALSE(Disclose(3, 100).events);
  EXPECT_FALSE(Disclose(97, 100).events);  // three that failed
  EXPECT_EQ(Disclose(0, 100).share, 0.0);
  EXPECT_EQ(Disclose(100, 100).share, 1.0);
  EXPECT_FALSE(Disclose(2, 5).cases);
  EXPECT_FALSE(Disclose(2, 5).share);
  EXPECT_EQ(Disclose(80, 100).share, 0.8);
}

}  // namespace
}  // namespace fairlead
