// SPDX-License-Identifier: Apache-2.0
#include "record/report/report.h"

#include <algorithm>
#include <chrono>
#include <random>

#include "measure/source.h"
#include "tests/record/report/told_case.h"
#include "tests/slowed.h"

namespace fairlead {
namespace {

const ReportSection& Section(const Report& report, std::string_view id) {
  const auto found = std::ranges::find(report.sections, id, &ReportSection::id);
  EXPECT_NE(found, report.sections.end()) << id;
  return *found;
}

const ReportLine* Line(const ReportSection& section, std::string_view label) {
  const auto found = std::ranges::find(section.lines, label, &ReportLine::label);
  return found == section.lines.end() ? nullptr : &*found;
}

std::string Value(const Report& report, std::string_view section, std::string_view label) {
  const ReportLine* line = Line(Section(report, section), label);
  EXPECT_NE(line, nullptr) << label;
  return line == nullptr ? "" : line->value;
}

Report Told() { return MakeReport(Fold(ToldEntries()), {}); }

// Order of a formal report: structured-reporting statement of the US societies, J Am Coll Cardiol 2014;63:2591-2623, from memory.
TEST(Report, HoldsItsPartsInTheOrderOfAFormalReport) {
  const Report report = Told();
  std::vector<std::string> ids;
  for (const ReportSection& section : report.sections) ids.push_back(section.id);
  const std::vector<std::string> expected = {"identity", "indication", "patient", "consent", "access", "occlusion", "plan", "strategies", "crossing",
                                             "treatment", "devices", "result", "labels", "complications", "totals", "after", "remarks"};
  EXPECT_EQ(ids, expected);
}

// By hand from the typed log: AW 06:40, changed 07:04 (+12 mL at 06:51, 0.21 then 0.48 Gy); ADR until 07:34 (+15 mL, 1.36 Gy);
// RDR until the proof at 08:30 (+8 mL at 07:44; 1.94 Gy at 07:57).
TEST(Report, StrategyTableSaysWhatTheLogSays) {
  const Report report = Told();
  const auto& rows = Section(report, "strategies").tables.front().rows;
  ASSERT_EQ(rows.size(), 3U);
  EXPECT_EQ(rows[0][0], "antegrade wiring (AW)");
  EXPECT_EQ(rows[0][1], "06:40 to 07:04");
  EXPECT_EQ(rows[0][2], "24 min: cap 14 min, body 10 min");
  EXPECT_EQ(rows[0][3], "12 mL");
  EXPECT_EQ(rows[0][4], "0.27 Gy");
  EXPECT_EQ(rows[0][6], "wire outside the plaque");
  EXPECT_EQ(rows[1][1], "07:04 to 07:34");
  EXPECT_EQ(rows[1][3], "15 mL");
  EXPECT_EQ(rows[1][4], "0.88 Gy");
  EXPECT_EQ(rows[2][0], "retrograde dissection and re-entry (RDR), septal c1");
  EXPECT_EQ(rows[2][1], "07:34 to 08:30");
  EXPECT_EQ(rows[2][3], "8 mL");
  EXPECT_EQ(rows[2][4], "0.58 Gy");
  EXPECT_EQ(rows[2][5], "crossed");
}

// 30 + 12 + 15 + 8 + 20 + 18 mL; eGFR of creatinine 1.2, 71 years, male is 142 x (1.2/0.9)^-1.2 x 0.9938^71 = 64.65
// by CKD-EPI 2021 (N Engl J Med 2021;385:1737-1749); clearance by weight is above it (65.5).
TEST(Report, TotalsAreThoseOfTheLog) {
  const Report report = Told();
  EXPECT_TRUE(Value(report, "totals", "Contrast").starts_with("103 mL of 320 mg iodine/mL; 1.6 × kidney function 65")) << Value(report, "totals", "Contrast");
  EXPECT_EQ(Value(report, "totals", "Air kerma at the reference point"), "3.12 Gy");
  EXPECT_EQ(Value(report, "totals", "Kerma-area product"), "184 Gy·cm²");
  EXPECT_EQ(Value(report, "totals", "Fluoroscopy"), "61 min");
  EXPECT_EQ(Value(report, "totals", "Procedure"), "06:22 to 09:20, 178 min (first puncture to last guide out)");
  EXPECT_TRUE(Value(report, "totals", "Heparin").starts_with("12000 IU: 06:30 8000 IU"));
}

TEST(Report, ComplicationCarriesTheTechniqueOfItsOwnMoment) {
  auto entries = ToldEntries();
  // The hole moved into the dissection's half hour: its technique follows.
  for (Entry& entry : entries)
    if (const auto* event = std::get_if<RunEvent>(&entry.data); event != nullptr && event->verb == Verb::kPerforation && WordOf(*event, RunField::kState).empty())
      entry.at = *ParseIso("2026-09-17T07:20:00Z");
  const auto row = Section(MakeReport(Fold(std::move(entries)), {}), "complications").tables.front().rows.front();
  EXPECT_EQ(row[0], "07:20");
  EXPECT_EQ(row[3], "ADR");
  EXPECT_EQ(Section(Told(), "complications").tables.front().rows.front()[3], "none");
}

TEST(Report, WhatIsMissingIsMarkedWithHowToFillItAndNeverFilled) {
  const Report whole = Told(), report = MakeReport(Fold(ToldWithout(Verb::kResidual)), {});
  const ReportLine* line = Line(Section(report, "result"), "Residual stenosis");
  ASSERT_NE(line, nullptr);
  ASSERT_TRUE(line->gap.has_value());
  EXPECT_EQ(line->value, kNotRecorded);
  EXPECT_EQ(line->gap->what, "residual 10%");
  EXPECT_EQ(GapCount(report), GapCount(whole) + 1);
  EXPECT_EQ(Section(report, "labels").tables.front().rows.front()[1], "not known");
  EXPECT_EQ(Section(whole, "labels").tables.front().rows.front()[1], "yes");
}

// Each verb of the log taken away in turn; without contrast or fluoroscopy one duty that follows from it goes too.
TEST(Report, WhatIsTakenAwayOpensItsGap) {
  const std::size_t gaps = GapCount(Told());
  for (const Verb verb : {Verb::kFlow, Verb::kBranch, Verb::kContrast, Verb::kAk, Verb::kDap, Verb::kFluoro, Verb::kAct, Verb::kHep, Verb::kResult, Verb::kEnd, Verb::kAccess, Verb::kTimeout, Verb::kFollowUp})
    EXPECT_GT(GapCount(MakeReport(Fold(ToldWithout(verb)), {})) + (verb == Verb::kContrast || verb == Verb::kFluoro ? 1U : 0U), gaps) << static_cast<int>(verb);
}

TEST(Report, DutiesAfterwardsHaveTheirDates) {
  const Report report = Told();
  EXPECT_EQ(Value(report, "after", "Creatinine"), "due 2026-09-19 (day 2)");
  EXPECT_EQ(Value(report, "after", "Visit"), "due 2026-10-17 (day 30)");
  // 61 min of fluoroscopy pass the level of 60 min (NCRP Report 168): somebody has to look at the skin, and nobody was named.
  const ReportLine* skin = Line(Section(report, "after"), "Who looks at the skin, between 2026-10-01 and 2026-10-15 (two to four weeks)");
  ASSERT_NE(skin, nullptr);
  EXPECT_TRUE(skin->gap.has_value());
}

// The haemoglobin was typed half an hour before the puncture.
TEST(Report, BloodDrawnBeforeThePunctureBelongsToTheVisit) {
  EXPECT_EQ(Value(Told(), "patient", "Blood at 2026-09-17 05:52"), "haemoglobin 13.4 g/dL");
}

TEST(Report, TimesAreThoseOfTheZoneAskedFor) {
  const Report report = MakeReport(Fold(ToldEntries()), {.limits = {}, .zone_min = 120});
  EXPECT_EQ(Section(report, "strategies").tables.front().rows.front()[1], "08:40 to 09:04");
}

TEST(Report, SameJournalSameBytesInWhateverOrderItIsRead) {
  auto entries = ToldEntries();
  std::shuffle(entries.begin(), entries.end(), std::mt19937(7));
  const Report a = Told(), b = MakeReport(Fold(std::move(entries)), {});
  EXPECT_EQ(ReportHtml(a), ReportHtml(b));
  EXPECT_EQ(ReportJson(a), ReportJson(b));
  EXPECT_EQ(ReportWordsOf(a), ReportWordsOf(b));
}

TEST(Report, WordsWrittenIntoASectionSurviveEverythingThatIsComputedAnew) {
  auto entries = ToldEntries();
  entries.push_back(NextEntry(entries, NoteWritten{SectionNote("indication", "Two drugs, still class 3.")}));
  entries.push_back(NextEntry(entries, RunEvent{Verb::kResidual, RunSide::kNone, {{RunField::kResidual, 12.0, ""}}, ""}, 2));
  const Report report = MakeReport(Fold(entries), {});
  ASSERT_EQ(Section(report, "indication").words.size(), 1U);
  EXPECT_EQ(Section(report, "indication").words.front().text, "Two drugs, still class 3.");
  EXPECT_EQ(Value(report, "result", "Residual stenosis"), "12 % diameter stenosis");
  for (const ReportLine& line : Section(report, "remarks").lines) EXPECT_EQ(line.value.find("Two drugs"), std::string::npos);
}

TEST(Report, ASealReadsBackAndLaterAmendmentsShowAsDifferences) {
  auto entries = ToldEntries();
  ReportSeal seal;
  seal.version = 1, seal.up_to = entries.back().seq, seal.gaps = 9, seal.program = "0.1.0";
  seal.report_sha256 = std::string(64, 'a'), seal.assessment_sha256 = std::string(64, 'b');
  seal.words = ReportWordsOf(Told());
  entries.push_back(NextEntry(entries, Shown{std::string(kSignedStep), SealText(seal)}));
  const Report signed_report = MakeReport(Fold(entries), {});
  ASSERT_EQ(signed_report.seals.size(), 1U);
  EXPECT_EQ(signed_report.seals.front().words, seal.words);
  EXPECT_EQ(signed_report.seals.front().assessment_sha256, seal.assessment_sha256);
  EXPECT_EQ(ReportWordsOf(signed_report), seal.words);  // signing by itself changes no word
  EXPECT_NE(ReportHtml(signed_report).find("Nothing has changed since the last signature."), std::string::npos);
  entries.push_back(NextEntry(entries, RunEvent{Verb::kResidual, RunSide::kNone, {{RunField::kResidual, 40.0, ""}}, ""}, 2));
  const auto differences = WordDifferences(seal.words, ReportWordsOf(MakeReport(Fold(entries), {})));
  EXPECT_NE(std::ranges::find(differences, "- Residual stenosis: 5 % diameter stenosis"), differences.end());
  EXPECT_NE(std::ranges::find(differences, "+ Residual stenosis: 40 % diameter stenosis"), differences.end());
}

TEST(Report, ASealOfOtherTextIsNone) {
  for (const char* text : {"", "report version: x\n", "report version: 1\nup to entry 5\n", "ladder at start\n", "report version: 1\nunknown: 2\n"})
    EXPECT_FALSE(SealOfText(text).has_value()) << text;
}

TEST(Report, TextFromOutsideIsTextOnThePage) {
  auto entries = ToldEntries();
  const std::string hostile = "<script>alert('x')</script>\" onload=\"y & z\x01";
  entries.push_back(NextEntry(entries, NoteWritten{SectionNote("result", hostile)}));
  std::get<CaseOpened>(entries.front().data).title = hostile;
  const std::string html = ReportHtml(MakeReport(Fold(entries), {}));
  EXPECT_EQ(html.find("<script"), std::string::npos);
  EXPECT_EQ(html.find("onload=\"y"), std::string::npos);
  EXPECT_EQ(html.find('\x01'), std::string::npos);
  EXPECT_NE(html.find("&lt;script&gt;alert(&#39;x&#39;)"), std::string::npos);
}

TEST(Report, AnEmptyJournalIsAllGaps) {
  const Report report = MakeReport(Fold(std::vector<Entry>{}), {});
  EXPECT_GT(GapCount(report), 15U);
  EXPECT_FALSE(ReportHtml(report).empty());
}

TEST(Report, EverySourceThatALineNamesIsInTheTable) {
  const Report report = Told();
  for (const ReportSection& section : report.sections)
    for (const ReportLine& line : section.lines)
      if (!line.source.empty()) {
        EXPECT_NE(FindSource(line.source), nullptr) << line.source;
      }
}

TEST(Report, FiveHundredEntriesTakeLessThanASecond) {
  auto entries = ToldEntries();
  for (int i = 1; entries.size() < 500; ++i) {
    Entry more = NextEntry(entries, RunEvent{Verb::kBp, RunSide::kNone, {{RunField::kSystolic, 120.0, ""}}, ""});
    more.id = "01M2QB0000000000000000" + std::to_string(1000 + i);
    more.at = entries[60].at + Duration::Minutes(i * 0.1);
    entries.push_back(std::move(more));
  }
  const auto began = std::chrono::steady_clock::now();
  const State state = Fold(entries);
  const std::string html = ReportHtml(MakeReport(state, {}));
  const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
  EXPECT_LT(seconds, kSlowed ? 60.0 : 1.0);
  RecordProperty("milliseconds", std::to_string(seconds * 1000.0));
}

}  // namespace
}  // namespace fairlead
