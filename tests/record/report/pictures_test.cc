// SPDX-License-Identifier: Apache-2.0
// Key pictures of the report: what the journal measured on a frame is drawn on it and named below; the timeline holds what was logged.
#include "record/report/drawing.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "record/report/report.h"
#include "tests/record/report/told_case.h"

namespace fairlead {
namespace {

const std::string kHash(64, 'b');

std::vector<Entry> WithPicture(std::vector<EntryData> more) {
  auto entries = ToldEntries();
  int number = 10;
  const auto add = [&](EntryData data) { entries.push_back(NextEntry(entries, std::move(data), number++)); };
  add(ImageAdded{kHash, "run 3", 60, 512, 512, "XA"});
  FactStated fact;
  fact.key = {"length_angio_mm", ""};
  fact.belief = Number{19.2, 1.4};
  fact.mark = Mark::kMeasured;
  fact.origin.image = kHash, fact.origin.frame = 11, fact.origin.method = "ruler, catheter 6 French";
  fact.origin.points = {{100.0, 120.0}, {140.0, 150.0}, {170.0, 200.0}};
  add(fact);
  for (EntryData& data : more) add(std::move(data));
  return entries;
}

TEST(Pictures, AChosenFrameCarriesWhatWasMeasuredOnItAndOnNoOther) {
  const Report report = MakeReport(Fold(WithPicture({NoteWritten{"picture: run 3 frame 12; the <cap>"}, NoteWritten{"picture: run 3 frame 13"}})), {});
  ASSERT_EQ(report.pictures.size(), 2U);
  const KeyPicture& picture = report.pictures[0];
  EXPECT_EQ(picture.title, "run 3, frame 12 of 60");
  ASSERT_EQ(picture.marks.size(), 1U);
  EXPECT_NE(picture.marks[0].find("19.2 ± 1.4 mm"), std::string::npos);
  const auto path = std::ranges::find_if(picture.shapes, [](const PictureShape& shape) { return shape.points.size() == 3; });
  ASSERT_NE(path, picture.shapes.end());
  EXPECT_EQ(path->points[2].y, 200.0);
  EXPECT_TRUE(report.pictures[1].marks.empty());
  const std::string html = ReportHtml(report), svg = PictureSvg(picture);
  EXPECT_NE(svg.find("points=\"100.0,120.0 140.0,150.0 170.0,200.0\""), std::string::npos);
  EXPECT_NE(html.find("the &lt;cap&gt;"), std::string::npos);
  EXPECT_EQ(html.find("<cap>"), std::string::npos);
  for (const ReportSection& section : report.sections)
    for (const ReportLine& line : section.lines) EXPECT_EQ(line.value.find("picture:"), std::string::npos) << "no remark of the day";
}

TEST(Pictures, AMeasurementInTwoViewsIsDrawnOnBothOfItsFrames) {
  FactStated fact;
  fact.key = {"bend_angio_deg", ""}, fact.belief = Number{50, 4}, fact.mark = Mark::kMeasured;
  fact.origin.image = std::string(64, 'c'), fact.origin.frame = 3, fact.origin.points = {{1, 1}};
  fact.origin.views = {{std::string(64, 'c'), 3, "", "", {}, {{"near cap", {{1, 1}}}}},
                       {kHash, 12, "", "still", {}, {{"near cap", {{211.0, 60.0}}}, {"vessel", {{20.0, 30.0}, {40.0, 31.0}, {60.0, 33.0}}}, {"far cap", {}}}}};
  fact.origin.strokes = {{}};
  const Report report = MakeReport(Fold(WithPicture({fact, NoteWritten{"picture: run 3 frame 13"}})), {});
  ASSERT_EQ(report.pictures.size(), 1U);
  ASSERT_EQ(report.pictures[0].marks.size(), 1U);
  EXPECT_NE(report.pictures[0].marks[0].find("50 ± 4"), std::string::npos) << report.pictures[0].marks[0];
  const std::string svg = PictureSvg(report.pictures[0]);
  EXPECT_NE(svg.find("points=\"20.0,30.0 40.0,31.0 60.0,33.0\""), std::string::npos) << "a course is a line";
  EXPECT_EQ(svg.find("211.0,60.0 20.0"), std::string::npos) << "a cap is not joined to a course";
}

TEST(Pictures, AreSignedWithTheHashOfTheirFileAndAnotherChoiceIsADifference) {
  const std::string one = ReportWordsOf(MakeReport(Fold(WithPicture({NoteWritten{"picture: run 3 frame 12"}})), {}));
  EXPECT_NE(one.find("file SHA-256 " + kHash), std::string::npos);
  Report fetched = MakeReport(Fold(WithPicture({NoteWritten{"picture: run 3 frame 12"}})), {});
  fetched.pictures[0].seen = {"LAO 31 CRA 0"};
  EXPECT_EQ(ReportWordsOf(fetched), one) << "what is fetched is no part of the words";
  const std::string other = ReportWordsOf(MakeReport(Fold(WithPicture({NoteWritten{"picture: run 3 frame 14"}})), {}));
  EXPECT_FALSE(WordDifferences(one, other).empty());
}

TEST(Pictures, WhatCannotBeShownSaysWhy) {
  const Report report = MakeReport(Fold(WithPicture({NoteWritten{"picture: run 9 frame 1"}, NoteWritten{"picture: run 3 frame 61"}, NoteWritten{"picture: run 3"}})), {});
  ASSERT_EQ(report.pictures.size(), 2U);
  EXPECT_EQ(report.pictures[0].missing, "the case has no such run");
  EXPECT_EQ(report.pictures[1].missing, "the run has no such frame");
  EXPECT_NE(ReportHtml(report).find("the run has no such frame"), std::string::npos);
  EXPECT_NE(ReportWordsOf(report).find("picture: run 3"), std::string::npos) << "a note that cannot be read stays a remark that people see";
}

// Case 4 was typed with AW, ADR, RW and RDR, with contrast, air kerma and ACT (demo/case-4.jsonl).
TEST(Pictures, TheTimelineShowsEachStrategyOnceAndTheLastTotals) {
  const KeyPicture picture = TimelinePicture(RunOf(Fold(ToldEntries())), Duration{});
  EXPECT_TRUE(picture.missing.empty());
  const RunState run = RunOf(Fold(ToldEntries()));
  for (const RunAttempt& attempt : run.attempts)
    EXPECT_EQ(std::ranges::count(picture.words, std::string(StrategyWord(attempt.strategy)), &PictureWords::text), 1) << StrategyWord(attempt.strategy);
  for (const PictureShape& shape : picture.shapes)
    for (const PixelPoint& point : shape.points) {
      EXPECT_GE(point.x, 0.0);
      EXPECT_LE(point.x, picture.width);
      EXPECT_GE(point.y, 0.0);
      EXPECT_LE(point.y, picture.height);
    }
  EXPECT_EQ(TimelinePicture(RunState{}, Duration{}).missing, "no visit is logged");
}

// Two circles side by side need the sum of their diameters: 1.0 + 0.5 in 1.6 leaves 0.1 mm.
TEST(Pictures, DiscsOfAFitAreToScaleAndASizeThatIsNoneSaysSo) {
  const KeyPicture picture = FitPicture("1.60mm 1.00mm 0.50mm");
  EXPECT_TRUE(picture.missing.empty());
  ASSERT_FALSE(picture.marks.empty());
  EXPECT_NE(picture.marks[0].find("margin 0.100 mm; the least lumen that holds them 1.500 mm"), std::string::npos) << picture.marks[0];
  const auto across = [](const PictureShape& shape) {
    const auto [low, high] = std::ranges::minmax_element(shape.points, {}, &PixelPoint::x);
    return high->x - low->x;
  };
  ASSERT_EQ(picture.shapes.size(), 6U);
  EXPECT_NEAR(across(picture.shapes[2]) / across(picture.shapes[0]), 1.0 / 1.6, 1e-3);
  EXPECT_FALSE(FitPicture("1.60mm fourteen").missing.empty());
  EXPECT_NE(FitPicture("7F 2.6F").missing.find("names the outside of a catheter"), std::string::npos);
  const Report report = MakeReport(Fold(WithPicture({NoteWritten{"picture: fit 1.60mm 1.00mm 0.50mm; what lay in the extension"}})), {});
  ASSERT_EQ(report.pictures.size(), 1U);
  EXPECT_EQ(report.pictures[0].caption, "what lay in the extension");
}

}  // namespace
}  // namespace fairlead
