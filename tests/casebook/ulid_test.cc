// SPDX-License-Identifier: Apache-2.0
// The ULID specification (github.com/ulid/spec) and the examples of its reference implementation; from memory.
#include "casebook/ulid.h"

#include <gtest/gtest.h>

#include <set>

#include "tests/casebook/invented_entries.h"

namespace fairlead {
namespace {

TEST(Ulid, WritesTheTimeAsTheReferenceImplementationDoes) {
  // ulid(1469918176385) begins with 01ARYZ6S41
  EXPECT_EQ(NewUlid({1469918176385}, {}).substr(0, 10), "01ARYZ6S41");
  EXPECT_EQ(NewUlid({0}, {}), "00000000000000000000000000");
  EXPECT_EQ(NewUlid({281474976710655}, {255, 255, 255, 255, 255, 255, 255, 255, 255, 255}), "7ZZZZZZZZZZZZZZZZZZZZZZZZZ");
}

TEST(Ulid, PutsTheRandomBitsIntoTheLastSixteenCharacters) {
  // five bits a character, worked by hand: 00000 00001 00000 01000 ... for bytes 0x00 0x40 0x80
  EXPECT_EQ(NewUlid({0}, {0, 0x40, 0x80, 0, 0, 0, 0, 0, 0, 1}), "00000000000108000000000001");
}

TEST(Ulid, SortsByTime) {
  TaggedGenerator random("Ulid.SortsByTime");
  std::string before;
  for (std::int64_t ms = 1; ms < 1000; ++ms) {
    std::array<std::uint8_t, 10> bytes{};
    for (auto& byte : bytes) byte = static_cast<std::uint8_t>(random.Next());
    const std::string ulid = NewUlid({1795599600000 + ms}, bytes);
    EXPECT_TRUE(IsUlid(ulid)) << ulid;
    EXPECT_LT(before, ulid);
    before = ulid;
  }
}

TEST(Ulid, RefusesWhatIsNone) {
  EXPECT_TRUE(IsUlid("01ARZ3NDEKTSV4RRFFQ69G5FAV"));  // the specification's example
  for (const char* wrong : {"", "01ARZ3NDEKTSV4RRFFQ69G5FA", "01ARZ3NDEKTSV4RRFFQ69G5FAVV", "01arz3ndektsv4rrffq69g5fav",
                            "81ARZ3NDEKTSV4RRFFQ69G5FAV", "01ARZ3NDEKTSV4RRFFQ69G5FAI", "01ARZ3NDEKTSV4RRFFQ69G5FAL",
                            "01ARZ3NDEKTSV4RRFFQ69G5FAO", "01ARZ3NDEKTSV4RRFFQ69G5FAU", "01ARZ3NDEKTSV4RRFFQ69G5FA "})
    EXPECT_FALSE(IsUlid(wrong)) << wrong;
}

}  // namespace
}  // namespace fairlead
