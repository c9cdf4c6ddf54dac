// SPDX-License-Identifier: Apache-2.0
// What stands in the file is read back by poppler's pdftotext and pdfinfo, which know nothing of this program.
#include "record/paper/paper.h"
#include "record/paper/tagged.h"

#include <unistd.h>

#include <cstdio>
#include <fstream>
#include <memory>

#include "tests/record/report/told_case.h"

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
// The font library keeps 288 bytes for the life of the process, the same after one report and after six times as many.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() { return "leak:libfontconfig\n"; }
#endif
#endif

namespace fairlead {
namespace {

std::string Asked(const std::string& command) {
  std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), pclose);
  std::string text;
  char part[4096];
  while (const std::size_t size = std::fread(part, 1, sizeof part, pipe.get())) text.append(part, size);
  return text;
}

std::string Kept(const std::string& bytes) {
  const std::string path = testing::TempDir() + "fairlead-report-" + std::to_string(getpid()) + ".pdf";
  std::ofstream(path, std::ios::binary) << bytes;
  return path;
}

// Without the blanks and line ends that a page sets anew.
std::string Squeezed(std::string text) {
  std::erase_if(text, [](char c) { return c == ' ' || c == '\n' || c == '\f'; });
  return text;
}

TEST(Paper, EveryWordOfTheReportCanBeSelected) {
  const Report report = MakeReport(Fold(ToldEntries()), {});
  const auto pdf = ReportPdf(report, PaperSize::kA4);
  ASSERT_TRUE(pdf.ok());
  const std::string text = Squeezed(Asked("pdftotext -raw " + Kept(*pdf) + " -"));
  ASSERT_FALSE(text.empty());
  for (const ReportSection& section : report.sections) {
    EXPECT_NE(text.find(Squeezed(section.title)), std::string::npos) << section.title;
    for (const ReportLine& line : section.lines) EXPECT_NE(text.find(Squeezed(line.value)), std::string::npos) << line.value;
    for (const ReportTable& table : section.tables)
      for (const auto& row : table.rows)
        for (const std::string& cell : row) EXPECT_NE(text.find(Squeezed(cell)), std::string::npos) << cell;
  }
}

// Two small frames and one that is missing: poppler's pdfimages finds the pixels, pdftotext the words, each of them on the page of its picture.
TEST(Paper, KeyPicturesCarryTheirPixelsAndTheirWordsStayText) {
  Report report = MakeReport(Fold(ToldEntries()), {});
  const std::size_t pages = static_cast<std::size_t>(std::stoi(Asked("pdfinfo " + Kept(*ReportPdf(report, PaperSize::kA4)) + " | sed -n 's/^Pages: *//p'")));
  for (int i = 0; i < 12; ++i) {
    KeyPicture picture;
    picture.title = "run " + std::to_string(i) + ", frame 1 of 2", picture.caption = "cap number " + std::to_string(i), picture.marks = {"1: length 19.2 mm"};
    picture.width = picture.height = 64.0;
    picture.raster = std::make_shared<const Raster>(Raster{32, 32, 1, std::vector<std::uint8_t>(1024, static_cast<std::uint8_t>(40 + i))});
    picture.shapes = {{{{4.0, 4.0}, {60.0, 60.0}}, {255, 200, 60}, 2.0, false, true}};
    picture.words = {{{20.0, 20.0}, "mark" + std::to_string(i), 8.0, {255, 200, 60}, true}};
    report.pictures.push_back(picture);
  }
  report.pictures[3].raster = nullptr, report.pictures[3].shapes.clear(), report.pictures[3].missing = "the file is not here";
  const auto pdf = ReportPdf(report, PaperSize::kLetter);
  ASSERT_TRUE(pdf.ok());
  EXPECT_EQ(*pdf, *ReportPdf(report, PaperSize::kLetter));
  const std::string path = Kept(*pdf), listed = Asked("pdfimages -list " + path + " | tail -n +3 | wc -l");
  EXPECT_EQ(std::stoi(listed), 11);
  const std::string text = Squeezed(Asked("pdftotext -raw " + path + " -"));
  for (const char* words : {"Keypictures", "11·run10,frame1of2", "capnumber7", "mark11", "thefileisnothere"}) EXPECT_NE(text.find(words), std::string::npos) << words;
  EXPECT_LE(static_cast<std::size_t>(std::stoi(Asked("pdfinfo " + path + " | sed -n 's/^Pages: *//p'"))), pages + 4);
}

// One for the title, one for each section and for signatures and sources (ISO 32000-1, 14.8.4).
TEST(Paper, SectionsAreHeadingsOfTheStructureTree) {
  const Report report = MakeReport(Fold(ToldEntries()), {});
  const auto pdf = ReportPdf(report, PaperSize::kA4);
  ASSERT_TRUE(pdf.ok());
  const std::string tree = Asked("pdfinfo -struct " + Kept(*pdf));
  std::size_t heads = 0;
  for (std::size_t at = tree.find("H2 (block)"); at != std::string::npos; at = tree.find("H2 (block)", at + 1)) ++heads;
  EXPECT_EQ(heads, report.sections.size() + 2);
  EXPECT_NE(tree.find("H1 (block)"), std::string::npos);
  EXPECT_NE(tree.find("Table"), std::string::npos);
}

// Read by poppler, which has no part of the writer's libraries: the mark, and words in the place of each figure.
TEST(Paper, ItIsMarkedAsTaggedAndEachFigureHasWords) {
  Report report = MakeReport(Fold(ToldEntries()), {});
  for (const char* title : {"run 1, frame 5 of 45", "Zeitleiste ± ü"}) {
    KeyPicture picture;
    picture.title = title, picture.caption = "the cap", picture.marks = {"1: a length"}, picture.width = picture.height = 40.0;
    picture.shapes = {{.points = {{1.0, 1.0}, {30.0, 30.0}}, .colour = {}, .width = 1.0}};
    report.pictures.push_back(std::move(picture));
  }
  const auto pdf = ReportPdf(report, PaperSize::kA4);
  ASSERT_TRUE(pdf.ok());
  const std::string path = Kept(*pdf);
  EXPECT_NE(Asked("pdfinfo " + path).find("Tagged:          yes"), std::string::npos);
  EXPECT_NE(pdf->find("/Lang (en)"), std::string::npos);
  const std::string tree = Asked("pdfinfo -struct-text " + path);
  EXPECT_NE(tree.find("Figure"), std::string::npos);
  EXPECT_EQ(Asked("pdfinfo -struct " + path + " 2>&1 1>/dev/null"), "") << "poppler finds nothing wrong with the tree";
  EXPECT_EQ(Tagged("no PDF", {}), "no PDF");
  EXPECT_EQ(Tagged(pdf->substr(0, pdf->size() / 3), {}), pdf->substr(0, pdf->size() / 3)) << "half a file comes back as it was";
  EXPECT_NE(pdf->find("run 1, frame 5 of 45; the cap; 1: a length"), std::string::npos);
}

TEST(Paper, HasTheSizeAndTheDateOfTheJournal) {
  const Report report = MakeReport(Fold(ToldEntries()), {});
  const auto a4 = ReportPdf(report, PaperSize::kA4), letter = ReportPdf(report, PaperSize::kLetter);
  ASSERT_TRUE(a4.ok() && letter.ok());
  const std::string info = Asked("TZ=UTC pdfinfo -isodates " + Kept(*a4));
  EXPECT_NE(info.find("(A4)"), std::string::npos) << info;
  EXPECT_NE(info.find("CreationDate:    2026-09-17T09:23:00"), std::string::npos) << info;  // the last entry's
  EXPECT_NE(Asked("pdfinfo " + Kept(*letter)).find("(letter)"), std::string::npos);
}

TEST(Paper, TheLetterIsOnePage) {
  const auto pdf = LetterPdf(MakeLetter(Fold(ToldEntries()), {}), PaperSize::kLetter);
  ASSERT_TRUE(pdf.ok());
  const std::string info = Asked("pdfinfo " + Kept(*pdf));
  EXPECT_NE(info.find("Pages:           1\n"), std::string::npos) << info;
}

TEST(Paper, SameReportSameBytes) {
  const Report report = MakeReport(Fold(ToldEntries()), {});
  const auto once = ReportPdf(report, PaperSize::kA4), again = ReportPdf(report, PaperSize::kA4);
  ASSERT_TRUE(once.ok() && again.ok());
  EXPECT_EQ(*once, *again);
}

TEST(Paper, LongWordsAndHostileTextStayOnThePage) {
  auto entries = ToldEntries();
  std::string hostile(3000, 'W');
  hostile.append(" <b>&amp;\x07 \xff\xfe");
  entries.push_back(NextEntry(entries, NoteWritten{SectionNote("result", hostile)}));
  const auto pdf = ReportPdf(MakeReport(Fold(entries), {}), PaperSize::kA4);
  ASSERT_TRUE(pdf.ok());
  EXPECT_TRUE(pdf->starts_with("%PDF-1."));
}

// Words, lines and tables of every length: poppler's pdftotext finds each numbered word once and in order, and no section's head as the last line above a page's foot.
TEST(Paper, LongTextGoesOnOverThePageAndNoHeadStandsAlone) {
  Report report;
  report.title = "told", report.case_id = "c";
  std::string words, wanted;
  for (int i = 0; i < 6000; ++i) words += (i == 0 ? "w" : " w") + std::to_string(i);
  for (int i = 0; i < 90; ++i) {
    ReportSection section;
    section.title = "HEAD" + std::to_string(i);
    if (i % 3 == 0) {
      ReportTable table;
      table.title = "T", table.columns = {"a", "b"}, table.widths = {1, 1};
      for (int row = 0; row <= i % 7; ++row) table.rows.push_back({"one", std::string("two\nthree\nfour\nfive").substr(0, static_cast<std::size_t>(3 + (i % 4) * 5))});
      section.tables.push_back(std::move(table));
    } else {
      for (int line = 0; line <= i % 5; ++line) section.lines.push_back({"label", i == 40 && line == 0 ? words : "short", {}, {}, {}});
    }
    report.sections.push_back(std::move(section));
  }
  for (const PaperSize size : {PaperSize::kA4, PaperSize::kLetter}) {
    const auto pdf = ReportPdf(report, size);
    ASSERT_TRUE(pdf.ok());
    const std::string text = Asked("pdftotext -layout " + Kept(*pdf) + " -");
    std::size_t at = 0;
    for (int i = 0; i < 6000; ++i) {
      const std::size_t found = text.find("w" + std::to_string(i), at);
      ASSERT_NE(found, std::string::npos) << i;
      ASSERT_TRUE(i == 0 || found - at < 400) << i;
      at = found + 1;
    }
    std::vector<std::string> lines;
    std::string line;
    for (const char c : text) {
      if (c != '\n' && c != '\f') { line += c; continue; }
      if (line.find_first_not_of(' ') != std::string::npos) lines.push_back(line);
      line.clear();
    }
    int feet = 0;
    for (std::size_t i = 1; i < lines.size(); ++i) {
      if (lines[i].find("Page ") == std::string::npos) continue;
      ++feet;
      EXPECT_EQ(lines[i - 1].find("HEAD"), std::string::npos) << lines[i - 1] << " above " << lines[i];
      EXPECT_NE(lines[i - 1].substr(lines[i - 1].find_first_not_of(' ')), "T") << lines[i];
    }
    EXPECT_GT(feet, 8);
  }
}

TEST(Paper, MissingFontsAreOneSentence) {
  const auto pdf = ReportPdf(MakeReport(Fold(ToldEntries()), {}), PaperSize::kA4, "/nowhere");
  ASSERT_FALSE(pdf.ok());
  EXPECT_EQ(Sentence(pdf.error()), "the font of the report is not there (/nowhere/DejaVuSans.ttf): install the package fonts-dejavu-core");
}

}  // namespace
}  // namespace fairlead
