// SPDX-License-Identifier: Apache-2.0
#include "measure/quantity.h"

#include <gtest/gtest.h>

#include <type_traits>

namespace fairlead {
namespace {

static_assert(!std::is_constructible_v<Length, double>, "a bare number is not a length");
static_assert(!std::is_convertible_v<Length, double>, "a length is not a bare number");
static_assert(!std::is_constructible_v<Angle, Length>, "a length is not an angle");
template <typename A, typename B>
concept Addable = requires(A a, B b) { a + b; };
static_assert(Addable<Length, Length> && !Addable<Length, Angle> && !Addable<Length, double>);

TEST(Quantity, ConvertsByDefinition) {
  EXPECT_DOUBLE_EQ(Length::French(6.0).millimetres(), 2.0);     // the French scale: 3 to the millimetre
  EXPECT_DOUBLE_EQ(Length::Inches(0.014).millimetres(), 0.3556);  // the inch: 25.4 mm (international yard, 1959)
  EXPECT_DOUBLE_EQ(Length::Centimetres(13.5).millimetres(), 135.0);
  EXPECT_DOUBLE_EQ(Angle::Degrees(180.0).radians(), 3.14159265358979323846);
  EXPECT_DOUBLE_EQ(Duration::Minutes(1.5).seconds(), 90.0);
}

TEST(Quantity, AddsScalesAndCompares) {
  const Length a = Length::Millimetres(2.0), b = Length::Millimetres(3.0);
  EXPECT_DOUBLE_EQ((a + b).millimetres(), 5.0);
  EXPECT_DOUBLE_EQ((a - b).millimetres(), -1.0);
  EXPECT_DOUBLE_EQ((2.0 * a / 4.0).millimetres(), 1.0);
  EXPECT_DOUBLE_EQ(a / b, 2.0 / 3.0);
  EXPECT_LT(a, b);
  EXPECT_EQ(a, Length::Millimetres(2.0));
}

}  // namespace
}  // namespace fairlead
