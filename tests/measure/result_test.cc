// SPDX-License-Identifier: Apache-2.0
#include "measure/result.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

TEST(Error, ReadsAsOneSentence) {
  const Error error{"length is -3 mm", "facts.json: length_angio_mm", "give a length above 0"};
  EXPECT_EQ(Sentence(error), "length is -3 mm (facts.json: length_angio_mm): give a length above 0");
  EXPECT_EQ(Sentence({"the disk is full", "", ""}), "the disk is full");
}

TEST(Error, GainsItsPlaceOnTheWayUp) {
  EXPECT_EQ(Within("case 7", {"no such fact", "lenght", ""}).where, "case 7: lenght");
  EXPECT_EQ(Within("case 7", {"no such fact", "", ""}).where, "case 7");
}

TEST(Result, HoldsAValueOrAnError) {
  const Result<int> good = 3;
  const Result<int> bad = Error{"no", "", ""};
  EXPECT_TRUE(good.ok());
  EXPECT_EQ(*good, 3);
  EXPECT_FALSE(bad.ok());
  EXPECT_EQ(bad.error().what, "no");
}

}  // namespace
}  // namespace fairlead
