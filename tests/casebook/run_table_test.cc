// SPDX-License-Identifier: Apache-2.0
#include "casebook/run_table.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>

#include "casebook/entry_json.h"
#include "casebook/entry_text.h"
#include "casebook/fold.h"
#include "tests/casebook/invented_entries.h"

namespace fairlead {
namespace {

std::vector<std::string> Split(std::string_view list) {
  std::vector<std::string> words;
  std::string word;
  for (const char c : std::string(list) + " ") {
    if (c != ' ') word += c;
    else if (!word.empty()) words.push_back(std::exchange(word, ""));
  }
  return words;
}

std::string Small(std::string_view text) {
  std::string small(text);
  for (char& c : small) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return small;
}

TEST(RunTable, StandsInTheOrderOfItsVerbsAndFields) {
  ASSERT_EQ(RunTable().size(), static_cast<std::size_t>(Verb::kFollowUp) + 1);
  for (std::size_t i = 0; i < RunTable().size(); ++i) EXPECT_EQ(static_cast<std::size_t>(RunTable()[i].id), i) << RunTable()[i].verb;
  for (std::size_t i = 0; i <= static_cast<std::size_t>(RunField::kBranch); ++i)
    EXPECT_EQ(static_cast<std::size_t>(RowOf(static_cast<RunField>(i)).id), i) << RowOf(static_cast<RunField>(i)).name;
}

TEST(RunTable, NoSpellingNamesTwoVerbs) {
  std::set<std::string> seen = {"note", "fact", "undo", "amend"};  // words of the log that are no row
  for (const VerbRow& row : RunTable()) {
    for (const auto& word : Split(std::string(row.verb) + " " + std::string(row.also))) EXPECT_TRUE(seen.insert(word).second) << word;
  }
}

TEST(RunTable, WithinAVerbAWordMeansOneThing) {
  for (const VerbRow& row : RunTable()) {
    std::set<std::string> seen;
    if (row.side != SideUse::kNoSide) seen = {"a", "r", "antegrade", "retrograde"};
    for (const VerbField& field : row.fields)
      for (const RunWord& word : field.words)
        for (const auto& spelling : Split(Small(word.word) + " " + std::string(word.also)))
          EXPECT_TRUE(seen.insert(spelling).second || Small(word.word) == spelling) << row.verb << " " << spelling;
  }
}

TEST(RunTable, WithinAVerbAUnitMeansOneThing) {
  for (const VerbRow& row : RunTable()) {
    std::map<std::string, std::string> by_unit;
    int names = 0;
    for (std::size_t i = 0; i < row.fields.size(); ++i) {
      const VerbField& field = row.fields[i];
      names += RowOf(field.id).type == FieldType::kName && !field.keyed ? 1 : 0;
      if (RowOf(field.id).type != FieldType::kNumber || field.sign != 0 || field.keyed || !field.plus.empty()) continue;
      if (i > 0 && row.fields[i - 1].joined != 0) continue;  // the second of a pair
      for (const RunUnit& unit : RowOf(field.id).units)
        EXPECT_TRUE(by_unit.emplace(Small(unit.unit), RowOf(field.id).name).second) << row.verb << " " << unit.unit;
    }
    EXPECT_LE(names, 1) << row.verb;
  }
}

// One value that a field allows.
RunValue Some(const VerbField& field) {
  switch (RowOf(field.id).type) {
    case FieldType::kNumber: return {field.id, field.low + (field.high - field.low) / 4.0, ""};
    case FieldType::kWord: return {field.id, 0.0, std::string(field.words.back().word)};
    case FieldType::kTag: return {field.id, 0.0, Split(field.letters).front() + "7"};
    case FieldType::kName: return {field.id, 0.0, "d1"};
  }
  return {};
}

RunEvent Whole(const VerbRow& row) {
  RunEvent event{row.id, row.side == SideUse::kNoSide ? RunSide::kNone : RunSide::kRetrograde, {}, "invented"};
  for (const VerbField& field : row.fields) event.values.push_back(Some(field));
  return event;
}

TEST(RunEntries, EveryVerbGoesThroughJsonAndBack) {
  for (const VerbRow& row : RunTable()) {
    const RunEvent event = Whole(row);
    const auto back = ParseEntryData("run", 1, EntryDataJson(event));
    ASSERT_TRUE(back) << row.verb << ": " << Sentence(back.error());
    EXPECT_EQ(std::get<RunEvent>(*back), event) << row.verb;
  }
}

TEST(RunEntries, EachLimitIsHeldOnBothSides) {
  for (const VerbRow& row : RunTable()) {
    for (const VerbField& field : row.fields) {
      if (RowOf(field.id).type != FieldType::kNumber) continue;
      for (const auto& [number, stands] : {std::pair{field.low, true}, {field.high, true}, {field.low - 0.1, false}, {field.high + 0.1, false}})
        EXPECT_EQ(FaultOf(field, {field.id, number, ""}).empty(), stands) << row.verb << " " << number;
      EXPECT_FALSE(FaultOf(field, {field.id, std::nan(""), ""}).empty());
    }
  }
}

TEST(RunEntries, RefuseWhatTheTableDoesNotHave) {
  const auto refusal = [](std::string_view json) {
    const auto data = ParseEntryData("run", 1, json);
    return data ? std::string("taken") : Sentence(data.error());
  };
  EXPECT_EQ(refusal(R"({"verb":"act","act_s":36})"), "clotting time 36 s is outside 60 to 1000 s (entry.data.act_s): correct it");
  EXPECT_EQ(refusal(R"({"verb":"ballon"})"), "there is no verb \"ballon\" (entry.data.verb): did you mean \"balloon\"?");
  EXPECT_EQ(refusal(R"({"verb":"act","acts":285})"), "there is no member \"acts\" (entry.data): did you mean \"act_s\"?");
  EXPECT_EQ(refusal(R"({"verb":"act"})"), "nothing is said about \"act\" (entry.data): give it a value");
  EXPECT_EQ(refusal(R"({"verb":"wire","tag":"w1"})"), "the member \"side\" is missing (entry.data): add it");
  EXPECT_EQ(refusal(R"({"verb":"wire","side":"a","tag":"x1"})"), "\"x1\" is no tag here (entry.data.tag): correct it");
  EXPECT_EQ(refusal(R"({"verb":"start"})"), "the member \"strategy\" is missing (entry.data): add it");
  EXPECT_EQ(refusal(R"({"verb":"start","strategy":"XX"})"), "\"XX\" is no strategy here (entry.data.strategy): correct it");
}

TEST(RunEntries, ReadAsOneLineForAPerson) {
  EXPECT_EQ(RunText({Verb::kAct, RunSide::kNone, {{RunField::kAct, 285, ""}}, ""}), "act 285 s");
  EXPECT_EQ(RunText({Verb::kContrast, RunSide::kNone, {{RunField::kAdd, 40, ""}}, ""}), "contrast +40 mL");
  EXPECT_EQ(RunText({Verb::kWire, RunSide::kAntegrade, {{RunField::kMove, 0, "in"}, {RunField::kTag, 0, "w3"}, {RunField::kTipLoad, 0.8, ""}}, "held"}),
            "wire w3 antegrade in, 0.8 g: held");
  EXPECT_EQ(RunText({Verb::kView, RunSide::kNone, {{RunField::kPrimary, -30, ""}, {RunField::kSecondary, 25, ""}}, ""}), "view RAO 30, CRA 25");
}

TEST(RunEntries, StandInTheFoldByWhenTheyHappened) {
  const EntryData first = RunEvent{Verb::kAct, RunSide::kNone, {{RunField::kAct, 285, ""}}, ""};
  const EntryData late = RunEvent{Verb::kHep, RunSide::kNone, {{RunField::kUnits, 8000, ""}}, ""};
  State state = Fold({Stored(1, first, 10), Stored(2, late, 2)});
  EXPECT_EQ(state.run, (std::vector<EntryIndex>{1, 0}));
  AddEntry(state, Stored(3, Withdrawn{"typing"}, 11, InventedId(1)));
  EXPECT_EQ(state.run, (std::vector<EntryIndex>{1}));
}

TEST(RunEntries, OxygenSaturationIsAPercentageThatALivingPatientCanHave) {
  const VerbRow* row = FindVerb("spo2");
  ASSERT_NE(row, nullptr);
  const VerbField* field = FieldOf(*row, RunField::kSaturation);
  ASSERT_NE(field, nullptr);
  EXPECT_EQ(field->high, 100.0);
  EXPECT_GT(field->low, 0.0);
  EXPECT_EQ(RunText({Verb::kSpo2, RunSide::kNone, {{RunField::kSaturation, 96, ""}}, ""}), "spo2 96 %");
}

// One verb may be amended into another: a slip of the hand is one entry, not two.
TEST(RunEntries, AnAmendmentMayChangeTheVerb) {
  const State state = Fold({Stored(1, RunEvent{Verb::kHr, RunSide::kNone, {{RunField::kHeartRate, 72, ""}}, ""}),
                            Stored(2, RunEvent{Verb::kPain, RunSide::kNone, {{RunField::kPain, 7, ""}}, ""}, 0, InventedId(1))});
  EXPECT_EQ(state.run, (std::vector<EntryIndex>{1}));
}

}  // namespace
}  // namespace fairlead
