// SPDX-License-Identifier: Apache-2.0
// Expected moments: GNU date (`date -u -d ... +%s`), an independent implementation of the calendar.
#include "measure/instant.h"

#include <gtest/gtest.h>

#include <random>

namespace fairlead {
namespace {

TEST(Instant, AgreesWithGnuDate) {
  EXPECT_EQ(ParseIso("1970-01-01T00:00:00Z")->ms, 0);
  EXPECT_EQ(ParseIso("2026-11-25T09:41:07Z")->ms, 1795599667000);        // date -u -d 2026-11-25T09:41:07Z +%s
  EXPECT_EQ(ParseIso("2024-02-29T23:59:59.5+01:00")->ms, 1709247599500);  // date -u -d 2024-02-29T23:59:59+01:00 +%s
  EXPECT_EQ(ParseIso("1900-03-01T00:00:00Z")->ms, -2203891200000);        // 1900 was no leap year
}

TEST(Instant, EveryMomentSurvivesBeingWrittenAndRead) {
  std::mt19937_64 random(20261125);
  for (int trial = 0; trial < 20'000; ++trial) {
    const Instant t{static_cast<std::int64_t>(random() % 253'402'300'799'999ULL)};  // to the end of year 9999
    const auto back = ParseIso(ToIso(t));
    ASSERT_TRUE(back.ok()) << ToIso(t);
    ASSERT_EQ(*back, t) << ToIso(t);
  }
}

TEST(Instant, TextOrderIsTimeOrder) {
  std::mt19937_64 random(7);
  for (int trial = 0; trial < 5'000; ++trial) {
    const Instant a{static_cast<std::int64_t>(random() % 4'000'000'000'000ULL)};
    const Instant b{static_cast<std::int64_t>(random() % 4'000'000'000'000ULL)};
    ASSERT_EQ(a < b, ToIso(a) < ToIso(b));
  }
}

TEST(Instant, RefusesWhatIsNotOneMoment) {
  for (const char* wrong : {"", "10:40", "2026-11-25", "2026-11-25T09:41:07", "2026-02-29T09:41:07Z",
                            "2026-11-25T24:00:00Z", "2026-11-25T09:41:07.Z", "2026-11-25T09:41:07+1:00",
                            "2026-11-25T09:41:07Zx", "2026-13-01T00:00:00Z", "20261125T094107Z"})
    EXPECT_FALSE(ParseIso(wrong).ok()) << wrong;
  EXPECT_EQ(Sentence(ParseIso("2026-11-25T09:41:07").error()),
            "'2026-11-25T09:41:07' is not a time: the zone is missing or malformed: "
            "write it like 2026-11-25T09:41:07Z or 2026-11-25T10:41:07+01:00");
}

}  // namespace
}  // namespace fairlead
