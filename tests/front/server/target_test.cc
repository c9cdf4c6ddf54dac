// SPDX-License-Identifier: Apache-2.0
#include "front/server/target.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

TEST(Target, SplitsPathAndQuery) {
  const auto target = ParseTarget("/api/events?case=A%20B&case=C&known");
  ASSERT_TRUE(target);
  EXPECT_EQ(target->path, "/api/events");
  ASSERT_EQ(target->query.size(), 3u);
  EXPECT_EQ(target->query[0].second, "A B");
  EXPECT_EQ(target->query[2].first, "known");
  EXPECT_EQ(target->query[2].second, "");
}

TEST(Target, RefusesBrokenEscapesAndControlCharacters) {
  for (const char* text : {"", "x", "/%", "/%1", "/%zz", "/%0a", "/%00", "/%7f", "/%ff", "/%c0%af", "/a#b"}) {
    EXPECT_FALSE(ParseTarget(text)) << text;
  }
}

// Examples of RFC 3629: sections 3 and 10.
TEST(Utf8, TakesWellFormedTextOnly) {
  EXPECT_TRUE(IsUtf8("A\xe2\x89\xa2\xce\x91."));
  EXPECT_TRUE(IsUtf8("\xf0\xa3\x8e\xb4"));
  EXPECT_FALSE(IsUtf8("\xc0\x80"));          // overlong U+0000
  EXPECT_FALSE(IsUtf8("\xed\xa0\x80"));      // surrogate
  EXPECT_FALSE(IsUtf8("\xf4\x90\x80\x80"));  // above U+10FFFF
  EXPECT_FALSE(IsUtf8("\xe2\x89"));
  EXPECT_FALSE(IsUtf8("\x80"));
}

TEST(Pieces, KeepsEmptyOnes) {
  EXPECT_EQ(Pieces("/a//b").size(), 3u);
  EXPECT_EQ(Pieces("/").size(), 1u);
}

}  // namespace
}  // namespace fairlead
