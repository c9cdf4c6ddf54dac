// SPDX-License-Identifier: Apache-2.0
// Reference: the C library, accurate to its last bit or so on any one processor.
#include "geometry/trigonometry.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace fairlead {
namespace {

TEST(SineCosine, AgreesWithTheLibraryOverManyTurns) {
  std::mt19937_64 random(11);
  for (int trial = 0; trial < 20000; ++trial) {
    const double x = (static_cast<double>(random() >> 11) * 0x1p-53 - 0.5) * (trial % 2 == 0 ? 8.0 : 12000.0);
    const auto [s, c] = SineCosineOf(Angle::Radians(x));
    ASSERT_NEAR(s, std::sin(x), 3e-16) << x;
    ASSERT_NEAR(c, std::cos(x), 3e-16) << x;
  }
}

TEST(SineCosine, IsExactAtZeroAndOddAndEven) {
  EXPECT_EQ(SineCosineOf(Angle::Radians(0)).sine, 0.0);
  EXPECT_EQ(SineCosineOf(Angle::Radians(0)).cosine, 1.0);
  for (double x = 0.01; x < 7.0; x += 0.37) {
    EXPECT_EQ(SineCosineOf(Angle::Radians(x)).sine, -SineCosineOf(Angle::Radians(-x)).sine);
    EXPECT_EQ(SineCosineOf(Angle::Radians(x)).cosine, SineCosineOf(Angle::Radians(-x)).cosine);
  }
}

TEST(Exp, AgreesWithTheLibraryToFourUnitsOfTheLastPlace) {
  for (double x = -690.0; x < 690.0; x += 0.137) ASSERT_NEAR(ExpOf(x) / std::exp(x), 1.0, 4 * 0x1p-52) << x;
  EXPECT_EQ(ExpOf(0.0), 1.0);
  EXPECT_EQ(ExpOf(-1e9), ExpOf(-700.0));  // held at the end of the range
}

TEST(Log, AgreesWithTheLibraryToFourUnitsOfTheLastPlace) {
  for (double x = 1e-6; x < 1e9; x *= 1.0173) {
    ASSERT_NEAR(LogOf(x), std::log(x), 4 * 0x1p-52 * std::abs(std::log(x)) + 2e-16) << x;
  }
  EXPECT_EQ(LogOf(1.0), 0.0);
}

}  // namespace
}  // namespace fairlead
