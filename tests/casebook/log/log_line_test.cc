// SPDX-License-Identifier: Apache-2.0
#include "casebook/log/log_line.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "casebook/log/log_words.h"
#include "casebook/run_table.h"

namespace fairlead {
namespace {

// 10:42 in a lab one hour east of UTC.
LogRoom Room() { return {*ParseIso("2031-03-04T09:42:00Z"), Duration::Minutes(60), 1.0, 1.0}; }

RunEvent Event(std::string_view text, const LogRoom& room = Room()) {
  const auto line = ParseLogLine(text, room);
  EXPECT_TRUE(line) << text << ": " << (line ? "" : Sentence(line.error()));
  if (!line || !std::holds_alternative<RunEvent>(line->data)) return {};
  return std::get<RunEvent>(line->data);
}

std::string Refusal(std::string_view text) {
  const auto line = ParseLogLine(text, Room());
  return line ? "taken" : Sentence(line.error());
}

TEST(LogLine, TakesTheExampleOfEveryVerb) {
  for (const VerbRow& row : RunTable()) {
    const RunEvent event = Event(row.example);
    EXPECT_EQ(event.verb, row.id) << row.example;
    EXPECT_EQ(Event(LogText(event)), event) << LogText(event);
  }
}

TEST(LogLine, TakesTheEntriesOfALab) {
  EXPECT_EQ(NumberOf(Event("act 285"), RunField::kAct), 285);
  EXPECT_EQ(WordOf(Event("act high"), RunField::kState), "high");
  EXPECT_EQ(NumberOf(Event("hep 3000"), RunField::kUnits), 3000);
  EXPECT_EQ(NumberOf(Event("HEP 8k bolus"), RunField::kUnits), 8000);
  EXPECT_EQ(NumberOf(Event("contrast +40"), RunField::kAdd), 40);
  EXPECT_EQ(NumberOf(Event("contrast =208 mL"), RunField::kTotal), 208);
  EXPECT_EQ(NumberOf(Event("ak 2100mGy"), RunField::kKerma), 2.1);
  EXPECT_EQ(WordOf(Event("start rwe septal"), RunField::kStrategy), "RW");
  EXPECT_EQ(WordOf(Event("switch ADR F01"), RunField::kReason), "cap-hard");
  EXPECT_EQ(NumberOf(Event("view RAO30 CAU 20"), RunField::kPrimary), -30);
  EXPECT_EQ(NumberOf(Event("view RAO30 CAU 20"), RunField::kSecondary), -20);
  const RunEvent stent = Event("stent a 3.0x28 14atm seg:7 ; over the branch");
  EXPECT_EQ(NumberOf(stent, RunField::kDiameter), 3);
  EXPECT_EQ(NumberOf(stent, RunField::kLength), 28);
  EXPECT_EQ(WordOf(stent, RunField::kSegment), "7");
  EXPECT_EQ(stent.remark, "over the branch");
  EXPECT_EQ(NumberOf(Event("bp 128/74"), RunField::kDiastolic), 74);
  EXPECT_EQ(NumberOf(Event("lab 106 umol/L"), RunField::kCreatinine), 106 / 88.4);
}

TEST(LogLine, LeavesOutAVerbThatCanBeNoOther) {
  EXPECT_EQ(Event("w2 out"), Event("wire out w2"));
  EXPECT_EQ(Event("M1 out").verb, Verb::kMc);
  EXPECT_EQ(Event("g1 depth:40cm").verb, Verb::kGuide);
  EXPECT_EQ(Event("nitrate 200mcg"), Event("drug nitrate 0.2mg"));
  EXPECT_EQ(Refusal("x2 out"), "\"x2\" is no word of the log (the log line): type note TEXT, or see fairlead log --help");
  EXPECT_EQ(Refusal("other 3mg"), "\"other\" is no word of the log (the log line): type note TEXT, or see fairlead log --help");
}

TEST(LogLine, TakesASizeTypedApart) {
  EXPECT_EQ(Event("balloon a 2.5 x 15 12 atm nc"), Event("balloon a 2.5x15 12atm nc"));
  EXPECT_EQ(Event("eem 3.2 X 3.7"), Event("eem 3.2x3.7"));
}

// A bare number is taken where it can mean one thing only.
TEST(LogLine, TakesABareNumberWhereItHasOneMeaning) {
  EXPECT_EQ(NumberOf(Event("mc a 135"), RunField::kWireLength), 135);
  EXPECT_EQ(NumberOf(Event("join assisted 2.5"), RunField::kDiameter), 2.5);
  EXPECT_EQ(Refusal("mc a 2.6"), "length 2.6 cm cannot be (the log line): look at the source again and type what it says");
}

TEST(LogLine, SuggestsNothingForAWordOfTwoLettersThatSharesNone) {
  EXPECT_EQ(Refusal("st no change").find("did you mean"), std::string::npos);
  EXPECT_EQ(Refusal("pb a 3.5x15"), "\"pb\" is no word of the log (the log line): type note TEXT, or see fairlead log --help");
}

TEST(LogLine, TheConsolesUnitsAreThoseOfABareNumber) {
  LogRoom room = Room();
  room.kerma_unit = 1e-3;
  room.area_unit = 1e-2;
  EXPECT_EQ(NumberOf(Event("ak 2100", room), RunField::kKerma), 2.1);
  EXPECT_EQ(NumberOf(Event("ak 2.1Gy", room), RunField::kKerma), 2.1);
  EXPECT_EQ(NumberOf(Event("dap 11800", room), RunField::kArea), 118);
}

// 36 may have been 136, 236 or 360: no other number is proposed.
TEST(LogLine, RefusesANumberThatCannotBeWithoutProposingAnother) {
  EXPECT_EQ(Refusal("act 36"), "clotting time 36 s cannot be (the log line): look at the source again and type what it says");
  EXPECT_EQ(Refusal("bp 1280/74"), "systolic 1280 mmHg cannot be (the log line): look at the source again and type what it says");
  EXPECT_EQ(Refusal("pain 11"), "pain 11 cannot be (the log line): look at the source again and type what it says");
  EXPECT_EQ(Refusal("hep -3000"), "\"-3000\" is below nothing (the log line): amend the entry that was wrong");
}

TEST(LogLine, RefusesANumberThatMayMeanTwoThings) {
  EXPECT_EQ(Refusal("contrast 40"), "a bare number may be one more or the total (the log line): put + before what is added, = before the total");
  EXPECT_EQ(Refusal("wire a in 190"), "what \"190\" counts is not said (the log line): put a unit after it: g, cm");
}

TEST(LogLine, RefusesAWordWithASuggestion) {
  EXPECT_EQ(Refusal("ballon a 2.5mm"), "\"ballon\" is no word of the log (the log line): did you mean \"balloon\"?");
  EXPECT_EQ(Refusal("wire a in polymr"), "\"polymr\" is not understood after wire (the log line): did you mean \"polymer\"?");
  EXPECT_EQ(Refusal("crossed"), "crossed needs one of collateral, cap, lesion (the log line): see: crossed (collateral|cap|lesion) [wire|catheter] [wN|mN] [cN]");
  EXPECT_EQ(Refusal("wire in"), "the side is missing after wire (the log line): type a for antegrade or r for retrograde");
  EXPECT_EQ(Refusal("distal proven"), "distal needs one of views, ultrasound, branch (the log line): see: distal proven (views|ultrasound|branch) [wN]");
  EXPECT_EQ(Refusal("act"), "nothing is said after act (the log line): see: act [NUMBER[s]] [sent|high] [H|L]");
  EXPECT_EQ(Refusal("echo none effusion"), "\"effusion\" and \"none\" cannot both be the finding (the log line): leave one out");
  EXPECT_EQ(Refusal("act 285 290"), "the clotting time is given twice (the log line): leave one out");
  EXPECT_EQ(Refusal("zzzzzz"), "\"zzzzzz\" is no word of the log (the log line): type note TEXT, or see fairlead log --help");
}

TEST(LogLine, ReadsTimesByTheClockOfTheLab) {
  const auto at = [](std::string_view text) {
    const auto line = ParseLogLine(text, Room());
    return line && line->at ? ToIso(*line->at) : line ? "none" : Sentence(line.error());
  };
  EXPECT_EQ(at("act 285"), "none");
  EXPECT_EQ(at("act 285 @10:40"), "2031-03-04T09:40:00.000Z");
  EXPECT_EQ(at("act 285 @9:40:30"), "2031-03-04T08:40:30.000Z");
  EXPECT_EQ(at("act @-5m 285"), "2031-03-04T09:37:00.000Z");
  EXPECT_EQ(at("act 285 @23:50"), "2031-03-03T22:50:00.000Z");  // yesterday, eleven hours back
  EXPECT_EQ(at("act 285 @2031-03-04T09:00:00+01:00"), "2031-03-04T08:00:00.000Z");
  EXPECT_EQ(at("act 285 @11:30"), "\"@11:30\" is still to come, or more than twelve hours back (the log line): type the date and the time with a zone");
  EXPECT_EQ(at("act 285 @25:00"), "\"@25:00\" is no time (the log line): type @10:42, @-5m, or a date and time with a zone");
  EXPECT_EQ(at("act 285 @10:40 @10:41"), "the time is given twice (the log line): leave one @ out");
}

TEST(LogLine, UndoAmendAndWithdraw) {
  EXPECT_EQ(ParseLogLine("undo", Room())->what, LogLine::What::kUndo);
  const auto amend = ParseLogLine("amend contrast =180", Room());
  ASSERT_TRUE(amend);
  EXPECT_EQ(amend->what, LogLine::What::kAmend);
  EXPECT_EQ(amend->seq, 0);
  const auto moved = ParseLogLine("amend #12 @10:40", Room());
  ASSERT_TRUE(moved);
  EXPECT_TRUE(moved->only_time);
  EXPECT_EQ(moved->seq, 12);
  EXPECT_EQ(ParseLogLine("withdraw #7 ; typed twice", Room())->what, LogLine::What::kWithdraw);
  EXPECT_EQ(Refusal("withdraw"), "withdraw needs the number of an entry (the log line): type withdraw #12 ; WHY");
  EXPECT_EQ(Refusal("amend"), "amend needs what the entry shall say (the log line): type amend contrast =180, or amend #12 @10:40");
  EXPECT_EQ(std::get<NoteWritten>(ParseLogLine("note moved the table @10:30", Room())->data).text, "moved the table");
}

// --- Printing and reading back, on 20,000 random events of every verb; the seed is the test's own.
class Maker {
 public:
  explicit Maker(std::uint64_t seed) : random_(seed) {}
  RunEvent Make() {
    for (;;) {
      const VerbRow& row = RunTable()[Below(RunTable().size())];
      RunEvent event{row.id, SideOf(row), {}, Below(4) == 0 ? "a remark; with @ marks" : ""};
      for (const VerbField& field : row.fields)
        if (field.need == FieldNeed::kMust || Below(2) == 0) event.values.push_back(Value(row, field));
      if (!row.needs_one || !event.values.empty()) return event;
    }
  }

 private:
  std::size_t Below(std::size_t n) { return random_() % n; }
  RunSide SideOf(const VerbRow& row) {
    if (row.side == SideUse::kNoSide || (row.side == SideUse::kMaySide && Below(2) == 0)) return RunSide::kNone;
    return Below(2) == 0 ? RunSide::kAntegrade : RunSide::kRetrograde;
  }
  RunValue Value(const VerbRow&, const VerbField& field) {
    switch (RowOf(field.id).type) {
      case FieldType::kNumber: {
        const double share = static_cast<double>(Below(1001)) / 1000.0;
        double number = field.low + share * (field.high - field.low);
        if (Below(2) == 0) number = std::clamp(std::round(number), field.low, field.high);
        return {field.id, number == 0.0 ? 0.0 : number, ""};
      }
      case FieldType::kWord: return {field.id, 0.0, std::string(field.words[Below(field.words.size())].word)};
      case FieldType::kTag: return {field.id, 0.0, std::string(field.letters.substr(0, field.letters.find(' '))) + std::to_string(Below(100))};
      case FieldType::kName: {
        static constexpr std::string_view kNames[] = {"d2", "7", "in", "a", "lesion", "om1-2", "x15", "w3", "12b", "septal", "done", "(01)0123"};
        return {field.id, 0.0, std::string(kNames[Below(std::size(kNames))])};
      }
    }
    return {};
  }
  std::mt19937_64 random_;
};

TEST(LogLine, PrintedAndReadAgainIsTheSameEntry) {
  Maker maker(20310304);
  for (int trial = 0; trial < 20000; ++trial) {
    const RunEvent event = maker.Make();
    const std::string text = LogText(event);
    const auto line = ParseLogLine(text, Room());
    ASSERT_TRUE(line) << trial << ": " << text << ": " << Sentence(line.error());
    ASSERT_EQ(std::get<RunEvent>(line->data), event) << trial << ": " << text << " became " << LogText(std::get<RunEvent>(line->data));
  }
}

TEST(LogLine, IsReadInAnyOrderOfItsWordsAndInCapitals) {
  EXPECT_EQ(Event("WIRE A IN POLYMER 0.8G 190CM"), Event("wire 190 cm polymer in 0.8 g a"));
  EXPECT_EQ(Event("balloon a 12 atm 2.5x15 20 s"), Event("balloon a 2.5x15mm 12atm 20s"));
}

TEST(LogLine, OffersWhatMayComeNext) {
  const auto has = [](std::string_view text, std::string_view choice) {
    const auto choices = CompleteLogLine(text, {"w1", "w2", "m1"});
    return std::ranges::any_of(choices, [&](const LogChoice& one) { return one.text == choice; });
  };
  EXPECT_TRUE(has("", "act"));
  EXPECT_TRUE(has("ac", "act"));
  EXPECT_FALSE(has("ac", "hep"));
  EXPECT_TRUE(has("wire ", "a"));
  EXPECT_TRUE(has("wire a out ", "w2"));
  EXPECT_FALSE(has("wire a out ", "m1"));
  EXPECT_TRUE(has("start ", "ADR"));
  EXPECT_TRUE(has("switch ADR cap", "cap-hard"));
  EXPECT_TRUE(has("wire a in 190", "190cm"));
}

TEST(LogHelp, HoldsEveryVerbAndItsExample) {
  const std::string help = LogHelp();
  for (const VerbRow& row : RunTable()) {
    EXPECT_NE(help.find(VerbUsage(row.id)), std::string::npos) << row.verb;
    EXPECT_NE(help.find(row.example), std::string::npos) << row.verb;
  }
}

}  // namespace
}  // namespace fairlead
