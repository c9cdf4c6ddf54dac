// SPDX-License-Identifier: Apache-2.0
// Bands: Med Phys 2011, DOI 10.1118/1.3633935, table 2. Levels: NCRP 168, from memory. Effective dose: worked by hand
// from the published factors, 100 x 0.34 + 150 x 0.27.
#include "reasoning/dose/followup.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

TEST(FollowUp, PutsEachDoseIntoItsPublishedBand) {
  const std::vector<std::pair<double, std::string_view>> rows{{0, "A1"}, {1.999, "A1"}, {2.0, "A2"}, {4.999, "A2"}, {5.0, "B"}, {9.99, "B"}, {10, "C"}, {15.0, "C"}, {15.001, "D"}, {40, "D"}};
  for (const auto& [gray, name] : rows) EXPECT_EQ(BandOf(gray).name, name) << gray;
}

TEST(FollowUp, TellsEachStepOnceWhenItIsCrossed) {
  EXPECT_EQ(KermaStepsPassed(2.9, 3.1), std::vector<double>{3.0});
  EXPECT_EQ(KermaStepsPassed(3.1, 3.2), std::vector<double>{});
  EXPECT_EQ(KermaStepsPassed(4.9, 5.1), std::vector<double>{5.0});
  EXPECT_EQ(KermaStepsPassed(0, 5.5), (std::vector<double>{3, 4, 5}));
}

TEST(FollowUp, NamesTheLevelsThatAreReached) {
  EXPECT_TRUE(LevelsReached({4.9, 499.0, 59.0, 2.9}).empty());
  EXPECT_EQ(LevelsReached({5.0, 500.0, 60.0, 3.0}).size(), 4U);
  EXPECT_EQ(LevelsReached({10.0, std::nullopt, std::nullopt, std::nullopt}).size(), 2U);
}

TEST(FollowUp, WorksOutEffectiveDoseByFilter) {
  std::vector<IrradiationEvent> events(2);
  events[0].area_product = AreaProduct::GraySquareCentimetres(100);
  events[0].copper = Length::Millimetres(0.4);
  events[1].area_product = AreaProduct::GraySquareCentimetres(150);
  events[1].copper = Length::Millimetres(0.1);
  EXPECT_NEAR(EffectiveDoseOf(events, 250).millisievert, 74.5, 1e-9);
  events[1].copper.reset();
  const EffectiveDose plain = EffectiveDoseOf(events, 250);
  EXPECT_NEAR(plain.millisievert, 75, 1e-9);
  EXPECT_NEAR(plain.low, 52.5, 1e-9);
  EXPECT_NEAR(plain.high, 82.5, 1e-9);
  EXPECT_FALSE(plain.by_filter);
}

TEST(FollowUp, SpeaksPlainlyAndDefers) {
  EXPECT_EQ(PatientAdvice(0.5, 1.0, false), "The X-rays used in your procedure are not expected to mark your skin.");
  EXPECT_NE(PatientAdvice(4, 7, true).find("rough estimate"), std::string::npos);
  EXPECT_NE(PatientAdvice(4, 7, false).find("medical physicist decide"), std::string::npos);
}

}  // namespace
}  // namespace fairlead
