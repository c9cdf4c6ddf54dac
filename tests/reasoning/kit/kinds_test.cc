// SPDX-License-Identifier: Apache-2.0
// Kinds of devices in the place of names. What each combination must be is the sum of the two shafts that decide, taken from
// the shelf's own printed sizes: two round shafts side by side need d1 + d2.
#include <gtest/gtest.h>

#include "reasoning/kit/kinds.h"

namespace fairlead {
namespace {

KindsReport Asked(std::vector<std::string> lumens, std::vector<std::string> items) {
  FitQuestion question;
  question.lumens = std::move(lumens);
  question.items = std::move(items);
  auto report = AnswerKinds(question, InventedShelf());
  EXPECT_TRUE(report.ok()) << report.error().what;
  EXPECT_TRUE(report.ok() && report->has_value());
  return report.ok() && *report ? std::move(**report) : KindsReport{};
}

TEST(Kinds, AnUltrasoundCatheterBesideAMicrocatheterInASevenFrenchGuideIsAnsweredForEveryOneOfThem) {
  const KindsReport report = Asked({"this 7 French guide"}, {"the ultrasound catheter", "microcatheter"});
  // Two lumens (0.081 and 0.078 in), two ultrasound catheters, five geometries of microcatheter.
  EXPECT_EQ(report.combinations.size(), 2U * 2U * 5U);
  const auto find = [&](std::string_view lumen, std::string_view first, std::string_view second) -> const FitAnswer* {
    for (const Combination& each : report.combinations) {
      const auto has = [](const std::string& text, std::string_view name) { return text.find(name) != std::string::npos; };
      if (has(each.lumens[0], lumen) && has(each.items[0], first) && has(each.items[1], second)) return &each.host.chain.orders.front().answer;
    }
    return nullptr;
  };
  const FitAnswer* tight = find("GC-7A 90", "IV-R", "MC-A 150");  // names that share a geometry stand together
  ASSERT_NE(tight, nullptr);
  EXPECT_EQ(tight->fit, FitClass::kTight);
  EXPECT_NEAR(tight->margin.millimetres(), 2.057 - (1.06 + 0.93), 1e-9);
  const FitAnswer* slim = find("GC-7A 100", "IV-R", "MC-B 130");
  ASSERT_NE(slim, nullptr);
  EXPECT_EQ(slim->fit, FitClass::kFits);
  EXPECT_NEAR(slim->margin.millimetres(), 2.057 - (1.06 + 0.87), 1e-9);
  const FitAnswer* narrow = find("GC-7B 100", "IV-R", "MC-A 135");
  ASSERT_NE(narrow, nullptr);
  EXPECT_EQ(narrow->fit, FitClass::kNo);
  EXPECT_NEAR(narrow->margin.millimetres(), 1.981 - (1.06 + 0.93), 1e-9);
  for (std::size_t i = 1; i < report.combinations.size(); ++i) {
    EXPECT_LE(report.combinations[i - 1].host.chain.orders.front().answer.fit, report.combinations[i].host.chain.orders.front().answer.fit);
  }
}

// A guide's French size is its outside: 7 F as a lumen of 2.33 mm would call a pair free that does not pass.
TEST(Kinds, AFrenchSizeAloneMeansTheGuidesOfThatSizeAndNotALumen) {
  for (const std::string size : {"7F", "7 Fr", "7 French", "Ch 7"}) {
    const KindsReport report = Asked({size}, {"1.06mm", "0.97mm"});
    ASSERT_EQ(report.combinations.size(), 2U) << size;
    EXPECT_NEAR(report.combinations[0].host.chain.host.lumen.millimetres(), 2.057, 1e-9);
    EXPECT_NEAR(report.combinations[1].host.chain.orders.front().answer.margin.millimetres(), 1.981 - 2.03, 1e-9);
    EXPECT_FALSE(report.remarks.empty());
  }
  EXPECT_EQ(Asked({"6.5F guide"}, {"2.6F"}).combinations.size(), 1U);
  EXPECT_NEAR(Asked({"7F sheath"}, {"GC-7A 100"}).combinations[0].host.chain.host.lumen.millimetres(), 2.5, 1e-9);
}

TEST(Kinds, AKindIsNarrowedAsTheShelfIsSearched) {
  const KindsReport report = Asked({"GC-8A 100"}, {"IVUS", "microcatheters usable>=150cm"});
  for (const Combination& each : report.combinations) EXPECT_EQ(each.items[1].find("135"), std::string::npos) << each.items[1];
  EXPECT_EQ(report.combinations.size(), 2U * 3U);
}

TEST(Kinds, NamesAndSizesAreNoKinds) {
  FitQuestion question;
  question.lumens = {"GC-7A 100"};
  question.items = {"IV-R", "2.6F", "0.014in"};
  const auto report = AnswerKinds(question, InventedShelf());
  ASSERT_TRUE(report.ok());
  EXPECT_FALSE(report->has_value());
  for (const std::string text : {"", "7", "nonsense", "7 nonsense", "F", "French", "7F nonsense"}) EXPECT_FALSE(KindOf(InventedShelf(), text, true)) << text;
}

TEST(Kinds, WhatTheShelfHasNotAndWhatIsTooManyAreSaid) {
  FitQuestion question;
  question.lumens = {"9F guide"};
  question.items = {"ivus"};
  const auto none = AnswerKinds(question, InventedShelf());
  ASSERT_FALSE(none.ok());
  EXPECT_NE(none.error().what.find("no device of this kind"), std::string::npos);
  question.lumens = {"guide"};
  question.items = {"microcatheter", "balloon", "balloon"};
  const auto many = AnswerKinds(question, InventedShelf());
  ASSERT_FALSE(many.ok());
  EXPECT_NE(many.error().what.find("combinations"), std::string::npos);
}

}  // namespace
}  // namespace fairlead
