// SPDX-License-Identifier: Apache-2.0
// What stands in the file is read back by poppler's pdftotext and pdfinfo, which know nothing of this program.
#include "record/paper/paper.h"

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

TEST(Paper, MissingFontsAreOneSentence) {
  const auto pdf = ReportPdf(MakeReport(Fold(ToldEntries()), {}), PaperSize::kA4, "/nowhere");
  ASSERT_FALSE(pdf.ok());
  EXPECT_EQ(Sentence(pdf.error()), "the font of the report is not there (/nowhere/DejaVuSans.ttf): install the package fonts-dejavu-core");
}

}  // namespace
}  // namespace fairlead
