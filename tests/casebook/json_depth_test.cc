// SPDX-License-Identifier: Apache-2.0
#include "casebook/json_depth.h"

#include <gtest/gtest.h>

#include <string>

namespace fairlead {
namespace {

TEST(NestsDeeper, CountsListsAndObjectsAlike) {
  EXPECT_FALSE(NestsDeeper("[{}]", 2));
  EXPECT_TRUE(NestsDeeper("[{}]", 1));
  EXPECT_FALSE(NestsDeeper("[[],[],[]]", 2));  // beside each other is not within
}

TEST(NestsDeeper, LeavesBracketsInTextsAlone) {
  EXPECT_FALSE(NestsDeeper(R"(["[[[["])", 1));
  EXPECT_FALSE(NestsDeeper(R"(["a\"[[[["])", 1));
  EXPECT_TRUE(NestsDeeper(R"(["a\\",[[1]]])", 2));  // the backslash is itself escaped, so the text has ended
}

TEST(NestsDeeper, EndsOnTextsThatAreNotJson) {
  EXPECT_FALSE(NestsDeeper("", 0));
  EXPECT_FALSE(NestsDeeper("]]]]", 0));
  EXPECT_FALSE(NestsDeeper("\"\\", 0));
  EXPECT_TRUE(NestsDeeper(std::string(1 << 20, '['), 64));
}

}  // namespace
}  // namespace fairlead
