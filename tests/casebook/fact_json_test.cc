// SPDX-License-Identifier: Apache-2.0
#include "casebook/fact_json.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>

namespace fairlead {
namespace {

const FactRow& Row(const char* name) {
  return *FindFact(name);
}

Belief Parsed(const char* name, std::string_view json) {
  const auto belief = ParseBelief(Row(name), json);
  EXPECT_TRUE(belief.ok()) << name << " " << json << ": " << (belief.ok() ? "" : Sentence(belief.error()));
  return belief.ok() ? *belief : Belief{};
}

std::string Refusal(const char* name, std::string_view json) {
  const auto belief = ParseBelief(Row(name), json);
  return belief.ok() ? "accepted" : Sentence(belief.error());
}

// A small generator of our own: standard distributions differ between libraries.
struct Generator {
  std::uint64_t state;
  std::uint64_t Next() {
    state += 0x9e3779b97f4a7c15;
    std::uint64_t z = state;
    z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9;
    z = (z ^ (z >> 27U)) * 0x94d049bb133111eb;
    return z ^ (z >> 31U);
  }
  double Share() { return static_cast<double>(Next() >> 11U) * 0x1p-53; }
  std::size_t Below(std::size_t n) { return Next() % n; }
};

TEST(ParseBelief, ReadsEachFormOfTheContract) {
  EXPECT_EQ(Parsed("ostial", "true"), Belief{FlagOdds{1.0}});
  EXPECT_EQ(Parsed("ostial", "0.25"), Belief{FlagOdds{0.25}});
  EXPECT_EQ(Parsed("ostial", "null"), Belief{Unknown{}});
  EXPECT_EQ(Parsed("stump_angio", "\"blunt\""), (Belief{GradeOdds{{{"blunt", 1.0}}}}));
  EXPECT_EQ(Parsed("stump_angio", R"({"blunt": 0.75, "tapered": 0.25})"),
            (Belief{GradeOdds{{{"tapered", 0.25}, {"blunt", 0.75}}}}));
  EXPECT_EQ(Parsed("stump_angio", "\"unseen\""), Belief{Unseen{}});
  EXPECT_EQ(Parsed("age_years", "67"), (Belief{Number{67.0, std::nullopt}}));
  EXPECT_EQ(Parsed("length_angio_mm", R"({"value": 19.2, "sd": 1.4})"), (Belief{Number{19.2, 1.4}}));
  EXPECT_EQ(Parsed("length_angio_mm", "\"unseen\""), Belief{Unseen{}});
  EXPECT_EQ(Parsed("occlusion_duration_months", "\"not determinable\""), Belief{NotDeterminable{}});
  EXPECT_EQ(Parsed("proximal_bends_deg", "[91, {\"value\": 92, \"sd\": 5}]"),
            (Belief{Numbers{{{91.0, std::nullopt}, {92.0, 5.0}}}}));
  EXPECT_EQ(Parsed("rentrop", "2"), (Belief{GradeOdds{{{"2", 1.0}}}}));
  EXPECT_EQ(Parsed("rentrop", "2.0"), (Belief{GradeOdds{{{"2", 1.0}}}}));
  EXPECT_EQ(Parsed("rentrop", "\"2\""), (Belief{GradeOdds{{{"2", 1.0}}}}));
}

TEST(ParseBelief, TakesDiabetesAsAGradeOrAsYesAndNo) {
  EXPECT_EQ(Parsed("diabetes", "\"insulin\""), (Belief{GradeOdds{{{"insulin", 1.0}}}}));
  EXPECT_EQ(Parsed("diabetes", "true"), (Belief{GradeOdds{{{"unspecified", 1.0}}}}));
  EXPECT_EQ(Parsed("diabetes", "false"), (Belief{GradeOdds{{{"none", 1.0}}}}));
  EXPECT_EQ(Parsed("diabetes", "0.25"), (Belief{GradeOdds{{{"none", 0.75}, {"unspecified", 0.25}}}}));
}

TEST(ParseBelief, RefusesInOneSentenceThatSaysWhatWhereAndWhatToDo) {
  EXPECT_EQ(Refusal("length_angio_mm", "900"),
            "900 is out of range (length_angio_mm): give a value from 0 to 200 mm, or null for unknown");
  EXPECT_EQ(
      Refusal("stump_angio", "\"bluntt\""),
      "\"bluntt\" is not one of its grades (stump_angio): give one of tapered, blunt, none, unseen, or odds between "
      "them that sum to 1, or null for unknown");
  EXPECT_EQ(Refusal("stump_angio", R"({"blunt": 0.7, "tapered": 0.2})"),
            "the odds sum to 0.8999999999999999 (stump_angio): make them sum to 1");
}

TEST(ParseBelief, RefusesWhatItsFactDoesNotAllow) {
  const std::vector<std::pair<const char*, const char*>> wrong{{"ostial", "\"yes\""},
                                                               {"ostial", "1.5"},
                                                               {"ostial", "-0.1"},
                                                               {"ostial", "\"unseen\""},
                                                               {"ostial", "[]"},
                                                               {"age_years", "66.5"},
                                                               {"age_years", "-1"},
                                                               {"age_years", "\"67\""},
                                                               {"age_years", "true"},
                                                               {"length_angio_mm", "1e999"},
                                                               {"length_angio_mm", "NaN"},
                                                               {"length_angio_mm", "-Infinity"},
                                                               {"length_angio_mm", R"({"value": 10, "sd": -1})"},
                                                               {"length_angio_mm", R"({"sd": 1})"},
                                                               {"length_angio_mm", R"({"value": 10, "error": 1})"},
                                                               {"length_angio_mm", R"({"value": 10, "value": 11})"},
                                                               {"length_angio_mm", R"({"value": null})"},
                                                               {"length_angio_mm", R"({"value": 10, "sd": 1e300})"},
                                                               {"length_angio_mm", "\"not determinable\""},
                                                               {"length_angio_mm",
                                                                "19 "
                                                                "19"},
                                                               {"length_angio_mm", ""},
                                                               {"stump_angio", R"({})"},
                                                               {"stump_angio", R"({"blunt": 1.0, "blunt": 0.0})"},
                                                               {"stump_angio", R"({"blunt": -0.5, "tapered": 1.5})"},
                                                               {"stump_angio", "true"},
                                                               {"stump_angio", "2"},
                                                               {"sex", "\"unseen\""},
                                                               {"rentrop", "4"},
                                                               {"rentrop", "1.5"},
                                                               {"proximal_bends_deg", "91"},
                                                               {"proximal_bends_deg", "[\"unseen\"]"},
                                                               {"proximal_bends_deg", "[[91]]"}};
  for (const auto& [name, json] : wrong) EXPECT_NE(Refusal(name, json), "accepted") << name << " " << json;
}

TEST(ParseBelief, RefusesHugeAndDeepText) {
  const std::string deep(100000, '[');
  EXPECT_NE(Refusal("length_angio_mm", deep), "accepted");
  EXPECT_NE(Refusal("length_angio_mm", std::string(60000, '[')), "accepted");
  EXPECT_NE(Refusal("proximal_bends_deg", "[" + std::string(200000, ' ') + "1]"), "accepted");
}

TEST(BeliefJson, ReadsBackToTheSameBelief) {
  Generator random{1};
  std::size_t checked = 0;
  for (const auto& row : Dictionary()) {
    for (int trial = 0; trial < 40; ++trial) {
      Belief belief = Unknown{};
      const auto number = [&] {
        const double value = row.low + (row.high - row.low) * random.Share();
        if (random.Below(2) == 0) return Number{value, random.Share() * (row.high - row.low) * 0.1};
        return Number{row.type == FactType::kCount ? std::floor(value) : value, std::nullopt};
      };
      if (row.type == FactType::kFlag) belief = FlagOdds{random.Share()};
      if (row.type == FactType::kGrade)
        belief = GradeOdds{{{std::string(row.grades[random.Below(row.grades.size())]), 1.0}}};
      if (row.type == FactType::kCount || row.type == FactType::kReading) belief = number();
      if (row.type == FactType::kReadings) belief = Numbers{{number(), number()}};
      if (row.may_be_unseen && trial == 0) belief = Unseen{};
      if (const auto* grade = std::get_if<GradeOdds>(&belief); grade != nullptr && grade->odds[0].first == "unseen") {
        belief = Unseen{};
      }
      const auto text = BeliefJson(row, belief);
      EXPECT_EQ(Parsed(std::string(row.name).c_str(), text), belief) << row.name << " " << text;
      ++checked;
    }
  }
  EXPECT_EQ(checked, Dictionary().size() * 40);
}

TEST(ParseFacts, ReadsAFileWithChannels) {
  const auto facts = ParseFacts(R"({"_about": "invented", "age_years": 70, "stump_angio": "blunt", "prior_mi": null,
    "channels": {"c1": {"collateral_channel": "septal", "collateral_cc_grade": {"1": 0.5, "2": 0.5}},
                 "c2": {"collateral_channel": "epicardial"}}})");
  ASSERT_TRUE(facts.ok()) << Sentence(facts.error());
  EXPECT_EQ(facts->at({"age_years", ""}), (Belief{Number{70.0, std::nullopt}}));
  EXPECT_EQ(facts->at({"prior_mi", ""}), Belief{Unknown{}});
  EXPECT_EQ(facts->at({"collateral_channel", "c2"}), (Belief{GradeOdds{{{"epicardial", 1.0}}}}));
  EXPECT_EQ(facts->size(), 6U);
  const auto again = ParseFacts(FactsFileJson(*facts));
  ASSERT_TRUE(again.ok());
  EXPECT_EQ(*again, *facts);
}

TEST(ParseFacts, NamesTheNearestFact) {
  const auto facts = ParseFacts(R"({"lenght_angio_mm": 19})");
  ASSERT_FALSE(facts.ok());
  EXPECT_EQ(Sentence(facts.error()),
            "\"lenght_angio_mm\" is not a fact (facts): the nearest known name is length_angio_mm");
}

TEST(ParseFacts, RefusesFilesThatCannotBeMeant) {
  for (const auto* text :
       {"", "[]", "19", "{", "{\"age_years\": 70,}", "{\"age_years\": 70, \"age_years\": 71}", "{\"channels\": []}",
        "{\"channels\": {\"\": {}}}", "{\"channels\": {\"c 1\": {}}}", "{\"channels\": {\"c1\": {\"age_years\": 70}}}",
        "{\"channels\": {\"c1\": 3}}", "\xff\xfe{}", "{\"age_years\": \"\xff\"}", "{\"age_years\": 70} {}"}) {
    EXPECT_FALSE(ParseFacts(text).ok()) << text;
  }
  EXPECT_FALSE(ParseFacts(std::string(2000000, ' ')).ok());
}

TEST(ParseFacts, SurvivesDamagedFiles) {
  const std::string whole = R"({"age_years": 70, "stump_angio": {"blunt": 0.5, "tapered": 0.5}, "length_angio_mm":
    {"value": 19, "sd": 3}, "proximal_bends_deg": [75, 72], "channels": {"c1": {"collateral_cc_grade": "1"}}})";
  Generator random{2};
  int accepted = 0;
  for (int trial = 0; trial < 20000; ++trial) {
    std::string text = whole;
    const std::size_t changes = 1 + random.Below(3);
    for (std::size_t i = 0; i < changes; ++i) text[random.Below(text.size())] = static_cast<char>(random.Next());
    if (random.Below(4) == 0) text.resize(random.Below(text.size()));
    const auto facts = ParseFacts(text);
    if (!facts.ok()) continue;
    ++accepted;
    const auto again = ParseFacts(FactsFileJson(*facts));
    ASSERT_TRUE(again.ok()) << text;
    EXPECT_EQ(again->size(), facts->size()) << text;
  }
  EXPECT_GT(accepted, 0);
}

}  // namespace
}  // namespace fairlead
