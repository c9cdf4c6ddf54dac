// SPDX-License-Identifier: Apache-2.0
#include "measure/reading.h"

#include <gtest/gtest.h>

#include <cmath>

#include "measure/quantity.h"

namespace fairlead {
namespace {

std::vector<UncertaintyPart<Length>> Parts(std::initializer_list<double> mm) {
  std::vector<UncertaintyPart<Length>> parts;
  for (double v : mm) parts.push_back({"part", Length::Millimetres(v)});
  return parts;
}

TEST(RootSumOfSquares, IsPythagoras) {
  EXPECT_DOUBLE_EQ(RootSumOfSquares(Parts({3.0, 4.0})).millimetres(), 5.0);
  EXPECT_DOUBLE_EQ(RootSumOfSquares(Parts({1.0, 2.0, 2.0})).millimetres(), 3.0);
  EXPECT_DOUBLE_EQ(RootSumOfSquares(Parts({0.0, 2.0})).millimetres(), 2.0);
}

TEST(RootSumOfSquares, OfNothingIsZero) {
  EXPECT_EQ(RootSumOfSquares(Parts({})), Length{});
  EXPECT_EQ(RootSumOfSquares(Parts({0.0, 0.0})), Length{});
}

TEST(RootSumOfSquares, ScalesWithoutOverflowOrLoss) {
  for (double scale : {1e-200, 1e-3, 1.0, 1e3, 1e200})
    EXPECT_NEAR(RootSumOfSquares(Parts({3.0 * scale, 4.0 * scale})).millimetres() / (5.0 * scale), 1.0, 1e-15);
}

}  // namespace
}  // namespace fairlead
