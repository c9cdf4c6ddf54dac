// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/wire.h"

#include <gtest/gtest.h>

#include "reasoning/kit/support.h"

namespace fairlead {
namespace {

// Force over area, by hand; the last unit is the one the trade prints.
TEST(TipPressure, IsLoadOverArea) {
  const TipPressure nine = PressureOf(9, Length::Inches(0.009));
  EXPECT_NEAR(nine.megapascal, 2.15, 0.005);
  EXPECT_NEAR(nine.gf_per_mm2, 219, 0.5);
  EXPECT_NEAR(nine.kgf_per_in2, 141, 0.5);
  EXPECT_NEAR(PressureOf(40, Length::Inches(0.008)).megapascal, 12.10, 0.005);
  EXPECT_NEAR(PressureOf(1, Length::Inches(0.014)).megapascal, 0.10, 0.005);
  // Taper counts more than grams.
  EXPECT_GT(PressureOf(3, Length::Inches(0.009)).megapascal, PressureOf(6, Length::Inches(0.014)).megapascal);
  EXPECT_NEAR(PressureOf(21.8, Length::Inches(0.014)).megapascal, nine.megapascal, 0.01);
}

// Euler by hand: 9.8696 x 193e3 x (pi x 0.08^4 / 64) / 7^2 = 0.07816 N, 8 gf: the order of a printed tip load.
TEST(Buckling, FollowsEuler) {
  const double newtons = EulerNewtons(193, Length::Millimetres(0.08), Length::Millimetres(10), 0.7);
  EXPECT_NEAR(newtons, 0.07816, 2e-5);
  // Column tables: guided, pinned and free ends in the ratio 1 : 0.51 : 0.0625.
  const auto at = [](double k) { return EulerNewtons(193, Length::Millimetres(0.1), Length::Millimetres(5), k); };
  EXPECT_NEAR(at(2) / at(0.5), 0.0625, 1e-12);
  EXPECT_NEAR(at(0.7) / at(0.5), 0.51, 0.001);
  // The printed load scales as Euler's does, whatever core and ends are.
  for (const double tip : {20.0, 7.0, 5.0, 3.0}) {
    EXPECT_NEAR(CarriedLoadGf(9, Length::Millimetres(tip)) / 9,
                EulerNewtons(193, Length::Millimetres(0.08), Length::Millimetres(tip), 0.7) / newtons, 1e-9);
  }
}

TEST(Buckling, HalfTheTipCarriesFourTimesTheLoad) {
  EXPECT_DOUBLE_EQ(CarriedLoadGf(3, Length::Millimetres(5)), 12);
  EXPECT_DOUBLE_EQ(CarriedLoadGf(3, Length::Millimetres(1)), 75);  // no more than 25 times
  EXPECT_NEAR(LongestTipFor(9, 0.61 / 9.80665e-3).millimetres(), 3.8, 0.05);
  EXPECT_NEAR(LongestTipFor(40, 1.52 / 9.80665e-3).millimetres(), 5.1, 0.05);
}

TEST(WireLadder, GoesFromSoftToStiffInNamedSteps) {
  const Shelf& shelf = InventedShelf();
  const auto ladder = WireLadder(shelf);
  ASSERT_EQ(ladder.size(), 16u);
  for (std::size_t i = 1; i < ladder.size(); ++i) {
    if (!ladder[i].pressure) continue;
    EXPECT_GE(ladder[i].pressure->megapascal, ladder[i - 1].pressure->megapascal);
  }
  const auto step = [&](std::string_view name) { return ClassOfStep(StepOf(*FindDevice(shelf, name))).id; };
  EXPECT_EQ(step("GW-WH 180"), "0");
  EXPECT_EQ(step("GW-TP 190"), "1");
  EXPECT_EQ(step("GW-PJ 190"), "1k");
  EXPECT_EQ(step("GW-D3 190"), "2");
  EXPECT_EQ(step("GW-B12 180"), "3");
  EXPECT_EQ(step("GW-T9 190"), "4");
  EXPECT_EQ(step("GW-T20 190"), "5");
  EXPECT_EQ(step("GW-CL 190"), "c");
  EXPECT_EQ(step("GW-EX 340"), "x");
  EXPECT_EQ(step("GW-LX 150"), "e");
}

// 1 / (cos - mu sin), by hand.
TEST(Support, TheModelMatchesItsFormula) {
  EXPECT_NEAR(*HoldFactor(Angle::Degrees(60), 0), 2.0, 1e-9);
  EXPECT_NEAR(*HoldFactor(Angle::Degrees(75), 0.1), 6.16, 0.01);
  EXPECT_NEAR(*HoldFactor(Angle::Degrees(75), 0.2), 15.2, 0.1);
  EXPECT_FALSE(HoldFactor(Angle::Degrees(80), 0.2));
  EXPECT_NEAR(LocksAt(0.2).degrees(), 78.7, 0.05);
  EXPECT_NEAR(StiffnessRatio(Length::Millimetres(2.37), Length::Millimetres(2.057), Length::Millimetres(2.06), Length::Millimetres(1.803)), 1.83, 0.02);
  for (const SupportFinding& finding : SupportFindings()) EXPECT_NE(FindSource(finding.source.id), nullptr);
}

}  // namespace
}  // namespace fairlead
