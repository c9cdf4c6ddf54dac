// SPDX-License-Identifier: Apache-2.0
// Examples of the GS1 General Specifications and of the GS1 Syntax Dictionary; prefix 952 is kept for examples.
#include "reasoning/kit/label.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

constexpr CalendarDay kToday{2026, 11, 25};

Label Read(std::string_view text) {
  const auto label = ParseLabel(text, kToday);
  EXPECT_TRUE(label.ok()) << (label.ok() ? "" : Sentence(label.error()));
  return label.ok() ? *label : Label{};
}
std::string Fault(std::string_view text) {
  const auto label = ParseLabel(text, kToday);
  return label.ok() ? "taken" : Sentence(label.error());
}

TEST(Label, RawElementsEndAtASeparator) {
  const Label label = Read("01095201234567881727123110A1B2C3\x1d" "21S0001");
  EXPECT_EQ(label.gtin, "09520123456788");
  EXPECT_EQ(label.expires, "2027-12-31");
  EXPECT_EQ(label.lot, "A1B2C3");
  EXPECT_EQ(label.serial, "S0001");
  EXPECT_TRUE(label.doubts.empty());
  EXPECT_EQ(HumanReadable(label), "(01)09520123456788(17)271231(10)A1B2C3(21)S0001");
}

TEST(Label, TheScannersMarkAndOrderDoNotMatter) {
  for (const char* mark : {"]d2", "]C1", "]Q3", "]e0", "]d2\x1d", "\x1d", ""}) {
    const Label label = Read(std::string(mark) + "010952012345678810A1B2C3\x1d" "17271231");
    EXPECT_EQ(label.lot, "A1B2C3") << mark;
    EXPECT_EQ(label.expires, "2027-12-31") << mark;
  }
}

TEST(Label, ASeparatorMayBeSpelled) {
  for (const char* gs : {"<GS>", "{GS}", "\\x1d", "\xE2\x90\x9D", "^", "[FNC1]"}) {
    EXPECT_EQ(Read(std::string("010952012345678810A1B2C3") + gs + "17271231").expires, "2027-12-31") << gs;
  }
}

TEST(Label, BracketsSayTheSameAsRaw) {
  const Label label = Read("(01)09521234543213(17)250101(10)ABC123");
  EXPECT_EQ(label.gtin, "09521234543213");
  EXPECT_EQ(label.expires, "2025-01-01");
  EXPECT_TRUE(label.expired);
  EXPECT_EQ(Read("(01) 09520123456788 (10) A(1)B (17) 271231").lot, "A(1)B");  // (1) is no identifier
}

TEST(Label, DayNoughtIsTheLastOfItsMonth) {
  EXPECT_EQ(Read("01095201234567881728020010LOT17").expires, "2028-02-29");
  EXPECT_EQ(Read("010952012345678817270200").expires, "2027-02-28");
  EXPECT_EQ(Read("010952012345678817260600").expires, "2026-06-30");
}

TEST(Label, ATwoDigitYearLiesWithinFiftyYears) {
  EXPECT_EQ(Read("010952012345678817770101").expires, "1977-01-01");
  EXPECT_EQ(Read("010952012345678817760101").expires, "2076-01-01");
  EXPECT_FALSE(Read("010952012345678817770101").doubts.empty());
  for (int year = 2000; year < 2100; ++year) {
    for (int two = 0; two < 100; ++two) {
      const int full = FullYear(two, year);
      EXPECT_EQ(full % 100, two);
      EXPECT_GE(full, year - 49);
      EXPECT_LE(full, year + 50);
    }
  }
}

TEST(Label, AFixedElementNeedsNoSeparatorAndBearsOne) {
  const Label label = Read("010952012345678821SN-9\x1d" "10L/7\x1d" "1727063011250101");
  EXPECT_EQ(label.serial, "SN-9");
  EXPECT_EQ(label.lot, "L/7");
  EXPECT_EQ(label.made, "2025-01-01");
  EXPECT_EQ(Read("0109520123456788\x1d" "17271231").expires, "2027-12-31");
  EXPECT_EQ(Read("010952012345678824012-34\x1d" "17271231").expires, "2027-12-31");
}

TEST(Label, ALostSeparatorIsDoubted) {
  const Label label = Read("010952012345678810A1B2C317271231");
  EXPECT_EQ(label.lot, "A1B2C317271231");
  EXPECT_EQ(label.expires, "");
  ASSERT_EQ(label.doubts.size(), 1u);
}

TEST(Label, BareNumbersOfLinearCodesArePadded) {
  EXPECT_EQ(Read("036000291452").gtin, "00036000291452");
  EXPECT_EQ(Read("6291041500213").gtin, "06291041500213");
  EXPECT_EQ(Fault("14567815983468"), "the check digit is 8, 9 is expected (AI 01): scan again, or compare with the print");
}

TEST(Label, CheckDigitsFollowTheStandard) {
  EXPECT_EQ(CheckDigit("0952012345678"), 8);
  EXPECT_EQ(CheckDigit("0952000010001"), 8);
  EXPECT_EQ(CheckDigit("1952012345678"), 5);
  EXPECT_EQ(CheckDigit("0952098765432"), 0);
  EXPECT_EQ(CheckDigit("629104150021"), 3);  // the worked GTIN-13 of the General Specifications
  EXPECT_EQ(CheckDigit("37610425002123456"), 9);  // the worked SSCC of the General Specifications
  // A changed digit never passes.
  const std::string good = "09520123456788";
  for (std::size_t at = 0; at < good.size(); ++at) {
    for (char c = '0'; c <= '9'; ++c) {
      if (c == good[at]) continue;
      std::string bad = good;
      bad[at] = c;
      EXPECT_FALSE(ParseLabel("01" + bad, kToday).ok()) << bad;
    }
  }
}

TEST(Label, EachFaultSaysWhatAndWhere) {
  EXPECT_EQ(Fault("010952012345678810ABCDEFGHIJKLMNOPQRSTU\x1d" "17271231"),
            "the element has 21 characters, 20 are allowed (AI 10): scan again, or compare with the print");
  EXPECT_EQ(Fault("1727123110X"), "the label names no item (AI 01 is missing): scan the code that holds the number of the item as well");
  EXPECT_EQ(Fault("010952012345678117271231"), "the check digit is 1, 8 is expected (AI 01): scan again, or compare with the print");
  EXPECT_EQ(Fault("010952012345678817271300"), "there is no month 13 (AI 17): scan again, or compare with the print");
  EXPECT_EQ(Fault("010952012345678817270230"), "2027-02 has no day 30 (AI 17): scan again, or compare with the print");
  EXPECT_EQ(Fault("0109520123456788172712"), "the element has 4 characters, 6 are needed (AI 17): scan again, or compare with the print");
  EXPECT_EQ(Fault("010952012345678810"), "the element is empty (AI 10): scan again, or compare with the print");
  EXPECT_EQ(Fault("010952012345678810A\x1d" "10B"), "the element stands twice with different values (AI 10): scan again, or compare with the print");
  EXPECT_EQ(Fault("010952012345678810A B"), "the element holds a character that GS1 does not allow (AI 10): scan again, or compare with the print");
  EXPECT_EQ(Fault("+A123BJC5D6E71"), "this is not a GS1 label (it begins with +, as HIBC does): keep the text and type lot and expiry by hand");
  EXPECT_EQ(Fault(""), "the label is empty: scan it again");
  EXPECT_EQ(Fault("hello"), "no application identifier begins here ('hello'): scan again, or type lot and expiry by hand");
}

TEST(Label, LotsKeepTheirCase) { EXPECT_EQ(Read("010952012345678810aBc").lot, "aBc"); }

}  // namespace
}  // namespace fairlead
