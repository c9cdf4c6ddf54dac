// SPDX-License-Identifier: Apache-2.0
#include "reasoning/budget/kidney.h"

#include <gtest/gtest.h>

#include <cmath>

namespace fairlead {
namespace {

// The printed equation (N Engl J Med 2021;385:1737-1749), evaluated in R 4.2 to nine digits.
TEST(Kidney, EgfrIsThePublishedEquation) {
  struct Row { double creatinine, age, male, female; };
  for (const Row& row : {Row{0.6, 45, 121.317252, 112.734720}, {0.7, 45, 115.798953, 108.623431}, {0.9, 45, 107.335406, 80.343390},
                         {1.0, 55, 88.884071, 66.532078}, {1.0, 70, 80.967145, 60.606049}, {1.2, 70, 65.056595, 48.696582},
                         {1.5, 70, 49.773630, 37.256878}, {2.0, 70, 35.242997, 26.380315}, {1.5, 85, 45.340280, 33.938399},
                         {3.0, 60, 23.055439, 17.257606}, {5.0, 75, 11.377315, 8.516221}}) {
    EXPECT_NEAR(Egfr({row.creatinine, row.age, Sex::kMale, {}, {}}), row.male, 5e-7);
    EXPECT_NEAR(Egfr({row.creatinine, row.age, Sex::kFemale, {}, {}}), row.female, 5e-7);
  }
}

TEST(Kidney, EgfrFallsWithCreatinineAndAgeAndIsContinuousAtTheHinge) {
  for (const Sex sex : {Sex::kFemale, Sex::kMale}) {
    double last = 1e9;
    for (double creatinine = 0.2; creatinine < 12; creatinine *= 1.03) {
      const double egfr = Egfr({creatinine, 60, sex, {}, {}});
      EXPECT_LT(egfr, last);
      last = egfr;
      EXPECT_LT(Egfr({creatinine, 61, sex, {}, {}}), egfr);
    }
    const double hinge = sex == Sex::kFemale ? 0.7 : 0.9;
    EXPECT_NEAR(Egfr({hinge * (1 - 1e-12), 60, sex, {}, {}}), Egfr({hinge * (1 + 1e-12), 60, sex, {}, {}}), 1e-8);
  }
}

TEST(Kidney, ReadsCreatinineInBothUnits) {
  EXPECT_NEAR(*ReadCreatinine("110umol/L"), 110 / 88.4, 1e-15);
  EXPECT_NEAR(*ReadCreatinine("97 µmol/L"), 97 / 88.4, 1e-15);
  EXPECT_EQ(*ReadCreatinine("1.10mg/dL"), 1.10);
  EXPECT_EQ(*ReadCreatinine("1.2"), 1.2);
  EXPECT_NEAR(*ReadCreatinine("97"), 97 / 88.4, 1e-15);
  EXPECT_NEAR(Egfr({*ReadCreatinine("110umol/L"), 70, Sex::kMale, {}, {}}), 62.284548, 5e-7);
}

TEST(Kidney, AsksWhereAUnitIsMissingAndRefusesNonsense) {
  EXPECT_EQ(Sentence(ReadCreatinine("17").error()), "a creatinine of 15 to 20 could be in either unit (creatinine): type mg/dL or umol/L after it");
  EXPECT_FALSE(ReadCreatinine("0.01mg/dL"));
  EXPECT_FALSE(ReadCreatinine("9000umol/L"));
  EXPECT_FALSE(ReadCreatinine("1.2g/L"));
  EXPECT_FALSE(ReadCreatinine("nan"));
  EXPECT_FALSE(ReadCreatinine(""));
  EXPECT_FALSE(CheckKidney({1.0, 17, Sex::kMale, {}, {}}));
  EXPECT_FALSE(CheckKidney({1.0, 50, Sex::kMale, 4.0, {}}));
  EXPECT_TRUE(CheckKidney({1.0, 18, Sex::kMale, 80.0, 172.0}));
}

// Nephron 1976;16:31-41, by hand: (140 - 70) x 80 / (72 x 1.2); the same in women x 0.85.
TEST(Kidney, ClearanceIsThePublishedFormula) {
  EXPECT_NEAR(*Clearance({1.2, 70, Sex::kMale, 80, {}}), 64.814815, 5e-7);
  EXPECT_NEAR(*Clearance({0.9, 75, Sex::kFemale, 60, {}}), 51.157407, 5e-7);
  EXPECT_FALSE(Clearance({0.9, 75, Sex::kFemale, {}, {}}));
}

// Worked rows: eGFR, clearance, whole volumes at 2, 3, 3.7 of each, weight rule.
TEST(Kidney, VolumesAtTheRatiosAsWorked) {
  struct Row { double age; Sex sex; double creatinine, kg, egfr, clearance; double by_egfr[3], by_clearance[3]; double weight; };
  for (const Row& row : {Row{72, Sex::kMale, 1.4, 80, 53.40, 53.97, {106, 160, 197}, {107, 161, 199}, 285},
                         {58, Sex::kMale, 0.9, 95, 99.00, 120.22, {197, 296, 366}, {240, 360, 444}, 300},
                         {66, Sex::kFemale, 0.7, 62, 95.32, 77.38, {190, 285, 352}, {154, 232, 286}, 300},
                         {80, Sex::kFemale, 1.1, 55, 50.80, 35.42, {101, 152, 187}, {70, 106, 131}, 250},
                         {64, Sex::kMale, 2.1, 70, 34.50, 35.19, {69, 103, 127}, {70, 105, 130}, 166},
                         {45, Sex::kFemale, 0.5, 60, 117.80, 134.58, {235, 353, 435}, {269, 403, 497}, 300}}) {
    const Kidney kidney{row.creatinine, row.age, row.sex, row.kg, {}};
    EXPECT_NEAR(Egfr(kidney), row.egfr, 0.005);
    EXPECT_NEAR(*Clearance(kidney), row.clearance, 0.005);
    for (std::size_t i = 0; i < 3; ++i) {
      EXPECT_EQ(VolumeAtRatio(kContrastRatios[i], Egfr(kidney)), row.by_egfr[i]);
      EXPECT_EQ(VolumeAtRatio(kContrastRatios[i], *Clearance(kidney)), row.by_clearance[i]);
    }
    EXPECT_EQ(VolumeAtRatio(1.0, ContrastByWeight(kidney)->ml), row.weight);
  }
}

TEST(Kidney, BandsBeginAtTheRatio) {
  for (const auto& [ratio, band] : {std::pair{1.999, 0}, {2.0, 1}, {2.999, 1}, {3.0, 2}, {3.699, 2}, {3.7, 3}, {9.0, 3}})
    EXPECT_EQ(ContrastBandOf(ratio), band) << ratio;
}

// 1.2 mg/dL, man of 70: 5 % of creatinine within a person, twice, is 58 to 73.
TEST(Kidney, SaysHowSureEgfrIs) {
  const EgfrBand band = EgfrSpread({1.2, 70, Sex::kMale, {}, {}});
  EXPECT_NEAR(band.low, 57.87, 0.5);
  EXPECT_NEAR(band.high, 73.14, 0.5);
}

TEST(Kidney, EveryFindingHasItsSource) {
  for (const RatioFinding& finding : RatioFindings()) EXPECT_NE(FindSource(finding.source.id), nullptr) << finding.source.id;
}

}  // namespace
}  // namespace fairlead
