// SPDX-License-Identifier: Apache-2.0
#include "casebook/log/fact_line.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

const FactStated& Fact(const Result<EntryData>& data) { return std::get<FactStated>(*data); }

TEST(PlainLine, TakesANoteAsItWasTyped) {
  const auto data = ParsePlainLine("  NOTE  The cap  is \"hazy\"");
  ASSERT_TRUE(data.ok());
  EXPECT_EQ(std::get<NoteWritten>(*data).text, "The cap  is \"hazy\"");
}

TEST(PlainLine, TakesAReadingInEverySpelling) {
  for (const char* text : {"fact length_angio_mm 19.2 ± 1.4", "fact length_angio_mm 19.2±1.4", "FACT length_angio_mm 19.2 +- 1.4 mm",
                           "fact Length_Angio_mm 19.2mm +-1.4MM"}) {
    const auto data = ParsePlainLine(text);
    ASSERT_TRUE(data.ok()) << text << ": " << Sentence(data.error());
    EXPECT_EQ(Fact(data).belief, Belief(Number{19.2, 1.4})) << text;
  }
}

// 88.4 µmol/L are 1 mg/dL of creatinine (molar mass 113.12 g/mol).
TEST(PlainLine, TakesCreatinineInMicromolesByItsUnitAndNeverByItsSize) {
  for (const char* text : {"fact creatinine 97umol/L ± 4umol/L", "fact creatinine 97 ± 4 umol/L", "fact creatinine 97 ± 4 µmol/l"}) {
    const auto data = ParsePlainLine(text);
    ASSERT_TRUE(data.ok()) << text << ": " << Sentence(data.error());
    EXPECT_NEAR(std::get<Number>(Fact(data).belief).value, 97 / 88.4, 1e-9) << text;
    EXPECT_NEAR(std::get<Number>(Fact(data).belief).sd.value_or(0), 4 / 88.4, 1e-9) << text;
  }
  const auto bare = ParsePlainLine("fact creatinine 97");
  ASSERT_FALSE(bare.ok());
  EXPECT_NE(Sentence(bare.error()).find("micromoles with their unit"), std::string::npos) << Sentence(bare.error());
  EXPECT_FALSE(ParsePlainLine("fact weight_kg 97umol/L").ok());
}

TEST(PlainLine, TakesFlagsGradesAndWhatNobodyKnows) {
  EXPECT_EQ(Fact(ParsePlainLine("fact ostial yes")).belief, Belief(FlagOdds{1.0}));
  EXPECT_EQ(Fact(ParsePlainLine("fact ostial 0.3")).belief, Belief(FlagOdds{0.3}));
  EXPECT_EQ(Fact(ParsePlainLine("fact stump_angio Blunt")).belief, Belief(GradeOdds{{{"blunt", 1.0}}}));
  EXPECT_EQ(Fact(ParsePlainLine("fact ostial unknown")).belief, Belief(Unknown{}));
}

TEST(PlainLine, OffersAWordForOneThatItDoesNotKnow) {
  EXPECT_EQ(Sentence(ParsePlainLine("fct ostial yes").error()), "\"fct\" is no word of the log (the log line): did you mean \"fact\"?");
  EXPECT_NE(Sentence(ParsePlainLine("fact ostail yes").error()).find("\"ostial\""), std::string::npos);
  EXPECT_NE(Sentence(ParsePlainLine("fact stump_angio blunted").error()).find("\"blunt\""), std::string::npos);
}

// 1900 may have been 19, 190 or 19.00: no other number is proposed.
TEST(PlainLine, RefusesANumberOutOfRangeWithoutProposingAnother) {
  const auto data = ParsePlainLine("fact length_angio_mm 1900");
  ASSERT_FALSE(data.ok());
  EXPECT_EQ(Sentence(data.error()).find("190 "), std::string::npos);
}

TEST(PlainLine, RefusesTheWrongUnitAndLeftoverWords) {
  EXPECT_FALSE(ParsePlainLine("fact length_angio_mm 19cm").ok());
  EXPECT_FALSE(ParsePlainLine("fact length_angio_mm 19 20").ok());
  EXPECT_FALSE(ParsePlainLine("fact length_angio_mm 19 ±").ok());
  EXPECT_FALSE(ParsePlainLine("fact length_angio_mm nan").ok());
  EXPECT_FALSE(ParsePlainLine("fact length_angio_mm").ok());
  EXPECT_FALSE(ParsePlainLine("note").ok());
  EXPECT_FALSE(ParsePlainLine("").ok());
  EXPECT_FALSE(ParsePlainLine("note a\nnote b").ok());
}

}  // namespace
}  // namespace fairlead
