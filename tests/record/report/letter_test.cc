// SPDX-License-Identifier: Apache-2.0
#include "record/report/letter.h"

#include "tests/record/report/told_case.h"

namespace fairlead {
namespace {

std::string WordsOf(const Letter& letter) {
  std::string words;
  for (const auto* parts : {&letter.patient, &letter.doctor})
    for (const LetterPart& part : *parts)
      for (const std::string& paragraph : part.paragraphs) words += paragraph + "\n";
  return words;
}

// By hand from the typed log: segment 2 is of the right artery, two stents, a leak that was sealed, 61 min of fluoroscopy.
TEST(Letter, SaysInPlainWordsWhatTheLogSays) {
  const std::string words = WordsOf(MakeLetter(Fold(ToldEntries()), {}));
  for (const char* part : {"On 2026-09-17 we worked on a blockage in the right artery of your heart", "2 small metal tubes (stents) were placed", "A leak from a vessel of the heart was seen; it was over",
                           "Date of the test: 2026-09-19.", "Between 2026-10-01 and 2026-10-15 ask somebody to look at the skin", "Visit: 2026-10-17.", "TIMI flow 3"})
    EXPECT_NE(words.find(part), std::string::npos) << part;
}

TEST(Letter, WhatNobodyRecordedIsLeftOpenAndNeverReassures) {
  const std::string words = WordsOf(MakeLetter(Fold(std::vector<Entry>{}), {}));
  EXPECT_NE(words.find("How it ended: [to be filled in by the doctor]"), std::string::npos);
  EXPECT_NE(words.find("Complications: [to be filled in by the doctor]"), std::string::npos);
  EXPECT_EQ(words.find("No complication"), std::string::npos);
  EXPECT_EQ(words.find("opened"), std::string::npos);
}

TEST(Letter, AFailedCaseIsCalledNeitherOpenNorTheFaultOfAnybody) {
  auto entries = ToldWithout(Verb::kResult);
  entries.push_back(NextEntry(entries, RunEvent{Verb::kResult, RunSide::kNone, {{RunField::kOutcome, 0.0, "failed"}}, ""}));
  const std::string words = WordsOf(MakeLetter(Fold(std::move(entries)), {}));
  EXPECT_NE(words.find("could not be passed this time"), std::string::npos);
  EXPECT_EQ(words.find("was opened"), std::string::npos);
}

TEST(Letter, NobodyWhoDiedIsToldWhatComesNext) {
  auto entries = ToldEntries();
  entries.push_back(NextEntry(entries, RunEvent{Verb::kFollowUp, RunSide::kNone, {{RunField::kKind, 0.0, "visit"}, {RunField::kState, 0.0, "done"}, {RunField::kDays, 1.0, ""}, {RunField::kOutcome, 0.0, "death"}}, ""}));
  const Letter letter = MakeLetter(Fold(std::move(entries)), {});
  const std::string words = WordsOf(letter);
  for (const char* part : {"your", "Your", "you ", "emergency", "ask somebody"}) EXPECT_EQ(words.find(part), std::string::npos) << part;
  EXPECT_NE(words.find("the patient died"), std::string::npos);
  EXPECT_NE(words.find("TIMI flow 3"), std::string::npos) << "the referring doctor still reads what was done";
}

// practice, no source: nobody is to check the kidneys, the skin, or come to a visit.
TEST(Report, OfSomebodyWhoDiedAsksForNothingToCome) {
  auto entries = ToldWithout(Verb::kFollowUp);
  const auto asked = [](const Report& report) {
    std::string labels;
    for (const ReportSection& section : report.sections) {
      if (section.id != "after") continue;
      for (const ReportLine& line : section.lines) labels += line.label + "\n";
    }
    return labels;
  };
  EXPECT_NE(asked(MakeReport(Fold(entries), {})).find("Who checks the creatinine"), std::string::npos);
  entries.push_back(NextEntry(entries, RunEvent{Verb::kFollowUp, RunSide::kNone, {{RunField::kKind, 0.0, "other"}, {RunField::kState, 0.0, "done"}, {RunField::kDays, 1.0, ""}, {RunField::kOutcome, 0.0, "death"}}, ""}));
  const std::string labels = asked(MakeReport(Fold(std::move(entries)), {}));
  for (const char* part : {"Who checks", "Who looks", "Visit after"}) EXPECT_EQ(labels.find(part), std::string::npos) << labels;
}

}  // namespace
}  // namespace fairlead
