// SPDX-License-Identifier: Apache-2.0
#include "measure/normal.h"

#include <gtest/gtest.h>

#include <cmath>

namespace fairlead {
namespace {

TEST(NormalCdf, AgreesWithPrintedTables) {
  // NIST/SEMATECH e-Handbook of Statistical Methods 1.3.6.7.1, cumulative standard normal (values from memory).
  EXPECT_NEAR(NormalCdf(0.0, 0.0, 1.0), 0.5, 1e-15);
  EXPECT_NEAR(NormalCdf(1.0, 0.0, 1.0), 0.84134, 5e-6);
  EXPECT_NEAR(NormalCdf(1.96, 0.0, 1.0), 0.97500, 5e-6);
  EXPECT_NEAR(NormalCdf(-2.33, 0.0, 1.0), 0.00990, 5e-6);
}

TEST(NormalCdf, KeepsItsDigitsFarInTheTail) {
  // Upper tail at 8 sd: 6.220960574271785e-16 (Abramowitz and Stegun 26.2, from memory); 1 - cdf would lose it.
  EXPECT_NEAR(NormalCdf(-8.0, 0.0, 1.0) / 6.220960574271785e-16, 1.0, 1e-12);
}

TEST(NormalCdf, IsSymmetricAndScales) {
  for (double z = -6.0; z <= 6.0; z += 0.125) {
    EXPECT_NEAR(NormalCdf(z, 0.0, 1.0) + NormalCdf(-z, 0.0, 1.0), 1.0, 1e-15);
    EXPECT_NEAR(NormalCdf(19.0 + 3.0 * z, 19.0, 3.0), NormalCdf(z, 0.0, 1.0), 1e-14);
  }
}

TEST(NormalCdf, WithoutSpreadIsAStep) {
  EXPECT_EQ(NormalCdf(19.999, 20.0, 0.0), 0.0);
  EXPECT_EQ(NormalCdf(20.0, 20.0, 0.0), 1.0);
}

}  // namespace
}  // namespace fairlead
