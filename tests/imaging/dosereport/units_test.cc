// SPDX-License-Identifier: Apache-2.0
// 1 Gy m2 = 1e4 Gy cm2 = 1e5 dGy cm2 = 1e6 cGy cm2 = 1e6 uGy m2 = 1e7 mGy cm2: by definition of the prefixes (SI, UCUM).
#include "imaging/dosereport/units.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

TEST(Units, ConvertEveryUnitOfAreaProductThatIsMet) {
  const std::vector<std::pair<std::string, double>> whole{{"Gy.m2", 1}, {"Gy.cm2", 1e4}, {"dGy.cm2", 1e5}, {"cGy.cm2", 1e6}, {"uGy.m2", 1e6}, {"mGy.cm2", 1e7}, {"mGy.m2", 1e3}};
  for (const auto& [code, number] : whole) EXPECT_NEAR(number * FactorOf(Dimension::kAreaProduct, code).value_or(0), 1.0, 1e-12) << code;
}

TEST(Units, TakeTheSpellingsOfTheField) {
  for (const char* code : {"\xC2\xB5Gy.m2", "\xCE\xBCGy.m2", "\xB5Gy.m2", "uGy m2", "uGym2", "microGy.m2", "UGY.M2", "uGy*m2", "uGy.m^2"}) {
    EXPECT_NEAR(FactorOf(Dimension::kAreaProduct, code).value_or(0), 1e-6, 1e-18) << code;
  }
  EXPECT_EQ(FactorOf(Dimension::kAngle, "\xC2\xB0"), 1.0);
  EXPECT_NEAR(FactorOf(Dimension::kAngle, "rad").value_or(0), 57.29577951308232, 1e-12);
  EXPECT_EQ(FactorOf(Dimension::kLength, "cm"), 10.0);
  EXPECT_EQ(FactorOf(Dimension::kTime, "min"), 60.0);
}

TEST(Units, RefuseWhatTheyDoNotKnowAndWhatBelongsElsewhere) {
  for (const char* code : {"", "R", "Sv", "furlong", "Gy", "gy.", ".", "m2"}) EXPECT_FALSE(FactorOf(Dimension::kAreaProduct, code)) << code;
  EXPECT_FALSE(FactorOf(Dimension::kKerma, "Gy.m2"));
}

}  // namespace
}  // namespace fairlead
