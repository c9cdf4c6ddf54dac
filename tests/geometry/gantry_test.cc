// SPDX-License-Identifier: Apache-2.0
// Signs and ranges: DICOM PS3.3 C.8.7.5 (primary +LAO -RAO within 180 degrees, secondary +CRA -CAU within 90).
#include "geometry/gantry.h"

#include <gtest/gtest.h>

#include <random>

namespace fairlead {
namespace {

void ExpectView(std::string_view text, double primary, double secondary) {
  const auto view = ParseGantry(text);
  ASSERT_TRUE(view.ok()) << text << ": " << Sentence(view.error());
  EXPECT_NEAR(view->primary.degrees(), primary, 1e-12) << text;
  EXPECT_NEAR(view->secondary.degrees(), secondary, 1e-12) << text;
}

TEST(Gantry, ReadsViewsAsPeopleWriteThem) {
  ExpectView("LAO45/CRA25", 45, 25);
  ExpectView("rao 30 cau 20", -30, -20);
  ExpectView("RAO30CAU20", -30, -20);
  ExpectView("CRA 25 LAO 45", 45, 25);
  ExpectView("AP", 0, 0);
  ExpectView("AP/CRA 40", 0, 40);
  ExpectView("PA 0 CAU 25", 0, -25);
  ExpectView("LAO 90", 90, 0);
  ExpectView("RAO 30/0", -30, 0);
  ExpectView("-30/-20", -30, -20);
  ExpectView("-30.5, 20.25", -30.5, 20.25);
  ExpectView("LAO 45\xC2\xB0 CRA 25\xC2\xB0", 45, 25);
}

TEST(Gantry, RefusesWhatIsNoView) {
  for (const std::string_view text : {"", "LAO", "LAO 45 RAO 30", "UP 30", "LAO x", "LAO 181", "CRA 91", "10/20/30", "LAO 1e999", "LAO nan", "LAO 4..5", "LAO 45;CRA 20"}) {
    EXPECT_FALSE(ParseGantry(text).ok()) << text;
  }
  EXPECT_EQ(Sentence(ParseGantry("UP 30").error()), "\"UP\" is no side of a view (view): write it as LAO 45/CRA 25, RAO 30/CAU 20 or AP");
}

TEST(Gantry, WritesWhatItReads) {
  for (const std::string_view text : {"LAO 45 CRA 25", "RAO 30 CAU 20", "AP", "AP CRA 40", "LAO 90", "RAO 7"}) EXPECT_EQ(GantryText(*ParseGantry(text)), text);
  EXPECT_EQ(GantryText({Angle::Degrees(-0.3), Angle::Degrees(0.2)}), "AP");
  EXPECT_EQ(GantryText({Angle::Degrees(-0.3), Angle::Degrees(0.26)}, 1), "RAO 0.3 CRA 0.3");
}

TEST(Gantry, FindsTheAnglesOfEveryBeam) {
  std::mt19937_64 random(5);
  std::uniform_real_distribution<double> primary(-179.9, 180), secondary(-89.9, 89.9);
  for (int i = 0; i < 2000; ++i) {
    const GantryAngles angles{Angle::Degrees(primary(random)), Angle::Degrees(secondary(random))};
    const GantryAngles back = AnglesOf(BeamOf(angles));
    EXPECT_NEAR(back.primary.degrees(), angles.primary.degrees(), 1e-9);
    EXPECT_NEAR(back.secondary.degrees(), angles.secondary.degrees(), 1e-9);
  }
  EXPECT_NEAR(AnglesOf({0, 0, 1}).secondary.degrees(), 90, 1e-12);
  EXPECT_EQ(AnglesOf({0, 0, 1}).primary.degrees(), 0);
}

TEST(Gantry, WrapsAnglesThatADeviceCountsRound) {
  for (const auto& [given, want] : std::vector<std::pair<double, double>>{{270, -90}, {-190, 170}, {180, 180}, {-180, 180}, {359, -1}, {0, 0}, {725, 5}}) {
    EXPECT_NEAR(Wrapped(Angle::Degrees(given)).degrees(), want, 1e-9) << given;
  }
}

}  // namespace
}  // namespace fairlead
