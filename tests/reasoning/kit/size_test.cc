// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/size.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

double Mm(std::string_view text) {
  const auto size = ParseSize(text);
  return size.ok() ? size->value.millimetres() : -1.0;
}

// The French scale is 3 to the millimetre, the inch 25.4 mm: by definition.
TEST(Size, ReadsFrenchInchAndMillimetre) {
  EXPECT_DOUBLE_EQ(Mm("6 Fr"), 2.0);
  EXPECT_DOUBLE_EQ(Mm("2.6F"), 2.6 / 3);
  EXPECT_DOUBLE_EQ(Mm("1.8 French"), 1.8 / 3);  // paired with 0.60 mm in a table of microcatheters, doi 10.3389/fcvm.2022.724608
  EXPECT_DOUBLE_EQ(Mm("8.3Ch"), 8.3 / 3);
  EXPECT_DOUBLE_EQ(Mm("0.014in"), 0.014 * 25.4);
  EXPECT_DOUBLE_EQ(Mm(".014\""), 0.014 * 25.4);
  EXPECT_DOUBLE_EQ(Mm("0.058 inch"), 1.4732);
  EXPECT_DOUBLE_EQ(Mm("1.80mm"), 1.8);
  EXPECT_DOUBLE_EQ(Mm("135 cm"), 1350.0);
}

TEST(Size, TakesTheDecimalComma) { EXPECT_DOUBLE_EQ(Mm("0,014 in"), 0.014 * 25.4); }

TEST(Size, TakesTheSignsOfTheFrenchScale) {
  for (const char* text : {"6F", "6 Fr", "6fr.", "6-Fr", "6\u2011F", "F6", "Fr 6", "CH 6", "6 Ch.", "6 Charrière", "6\u202FFrench"}) EXPECT_DOUBLE_EQ(Mm(text), 2.0) << text;
  EXPECT_DOUBLE_EQ(Mm("Ø 2,0 mm"), 2.0);
}

TEST(Size, PrintedDigitsGiveTheResolution) {
  EXPECT_DOUBLE_EQ(ParseSize("2.6 Fr")->resolution.millimetres(), 0.1 / 3);
  EXPECT_DOUBLE_EQ(ParseSize("0.070in")->resolution.millimetres(), 0.0254);
  EXPECT_DOUBLE_EQ(ParseSize("1.80 mm")->resolution.millimetres(), 0.01);
}

TEST(Size, RefusesWhatIsNotASize) {
  EXPECT_EQ(Sentence(ParseSize("1.80").error()), "it has no unit (size '1.80'): write it as 1.80mm, 2.6F or 0.014in");
  EXPECT_EQ(Sentence(ParseSize("18 G").error()),
            "a gauge is a needle's size, not a diameter (size '18 G'): give the needle's outer diameter in mm");
  for (const char* text : {"", "mm", "abc", "-1mm", "0mm", "1.2.3mm", "nan mm", "1e3mm", "600cm", "2.6 furlong", "1,2,3mm"}) {
    EXPECT_FALSE(ParseSize(text).ok()) << text;
  }
}

// A published list of instruments prints a wire of 0.035 mm and means inches.
TEST(Size, AWireThinnerThanAHairIsAMistakenUnit) {
  EXPECT_TRUE(CheckWireDiameter(Length::Inches(0.014), "0.014 in").ok());
  EXPECT_FALSE(CheckWireDiameter(Length::Millimetres(0.035), "0.035 mm").ok());
  EXPECT_FALSE(CheckWireDiameter(Length::Millimetres(0.014), "0.014 mm").ok());
}

}  // namespace
}  // namespace fairlead
