// SPDX-License-Identifier: Apache-2.0
#include "record/paper/paper.h"

#include <fmt/core.h>

#include <algorithm>
#include <numeric>

#include "record/paper/canvas.h"
#include "record/paper/pictures.h"
#include "record/report/html_text.h"

namespace fairlead {
namespace {

constexpr TextStyle kBody{8.2, false, 0.0}, kLabel{8.2, false, 0.3}, kCell{7.2, false, 0.0}, kHead{7.2, true, 0.0}, kSmall{6.6, false, 0.3};
constexpr TextStyle kTitle{15.0, true, 0.0}, kSection{10.5, true, 0.0};
constexpr double kPad = 2.5;

constexpr double kHeadingHeight = 27.0, kFewLines = 33.0;

// A section's head and what follows at once stay on one page: `next` points of it.
void Heading(PaperCanvas& canvas, const std::string& title, double next = kFewLines) {
  if (canvas.room() < kHeadingHeight + next) canvas.NewPage();
  canvas.Skip(9.0);
  canvas.Bookmark(title);
  canvas.Text(title, canvas.left(), 0.0, canvas.width(), kSection, "H2");
  canvas.Skip(14.0);
  canvas.Rule(0.0, 0.2);
  canvas.Skip(4.0);
}

// Text that does not fit goes on over the page, at least two lines on each; a short one goes as a whole. Moves the top below its last part.
void Flow(PaperCanvas& canvas, std::string_view text, double indent, const TextStyle& style) {
  const double box = canvas.width() - indent, x = canvas.left() + indent, two = canvas.HeightOf("x\nx", box, style), least = std::max(kFewLines, two);
  double height = canvas.HeightOf(text, box, style);
  while (height > canvas.room()) {
    const std::size_t fits = height <= least || canvas.room() < two ? 0 : canvas.Fitting(text, box, std::min(canvas.room(), height - two), style);
    if (fits > 0 && fits < text.size()) {
      canvas.Text(text.substr(0, fits), x, 0.0, box, style, "P");
      text.remove_prefix(fits);
      while (!text.empty() && (text.front() == ' ' || text.front() == '\n')) text.remove_prefix(1);
    }
    canvas.NewPage();
    const double rest = canvas.HeightOf(text, box, style);
    if (rest == height && rest > canvas.room() && canvas.Fitting(text, box, canvas.room(), style) == 0) break;  // a letter higher than a page
    height = rest;
  }
  canvas.Text(text, x, 0.0, box, style, "P");
  canvas.Skip(height);
}

void Paragraph(PaperCanvas& canvas, const std::string& text, const TextStyle& style, double indent = 0.0) {
  Flow(canvas, text, indent, style);
  canvas.Skip(2.0);
}

void Line(PaperCanvas& canvas, const ReportLine& line) {
  const double first = canvas.width() * 0.32, box = canvas.width() - first - 8.0, x = canvas.left() + first + 8.0;
  const double label = canvas.HeightOf(line.label, first, kLabel), value = canvas.HeightOf(line.value, box, kBody), height = std::max(label, value);
  if (height > canvas.room() && (value <= kFewLines || canvas.room() < std::max(label, kFewLines))) canvas.NewPage();
  canvas.Text(line.label, canvas.left(), 0.0, first, kLabel, "P");
  if (height > canvas.room() && !line.gap) {
    Flow(canvas, line.value, first + 8.0, kBody);
    canvas.Skip(1.5);
    return;
  }
  if (line.gap) canvas.Frame(x - 3.0, -0.5, 110.0, canvas.HeightOf(line.value, box, kBody) + 1.0, 0.0, true);
  canvas.Text(line.value, x, 0.0, box, line.gap ? TextStyle{8.2, true, 0.0} : kBody, "P");
  canvas.Skip(height + (line.gap ? 3.0 : 1.5));
}

class TableWriter {
 public:
  TableWriter(PaperCanvas& canvas, const ReportTable& table) : canvas_(canvas), table_(table) {
    const double whole = std::max(1, std::accumulate(table.widths.begin(), table.widths.end(), 0));
    double x = canvas.left();
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
      const double share = i < table.widths.size() ? table.widths[i] / whole : 1.0 / static_cast<double>(table.columns.size());
      starts_.push_back(x);
      boxes_.push_back(share * canvas.width());
      x += boxes_.back();
    }
  }

  void Write() {
    if (canvas_.room() < FirstHeight()) canvas_.NewPage();
    if (!table_.title.empty()) Paragraph(canvas_, table_.title, {8.2, true, 0.0});
    canvas_.Begin("Table");
    Row(table_.columns, kHead, true);
    for (const auto& row : table_.rows) Row(row, kCell, false);
    canvas_.End("Table");
    canvas_.Skip(3.0);
    for (const std::string& remark : table_.remarks) Paragraph(canvas_, remark, kSmall);
  }

  // Of its title, head and first row: they stay together.
  double FirstHeight() {
    const double title = table_.title.empty() ? 0.0 : canvas_.HeightOf(table_.title, canvas_.width(), {8.2, true, 0.0}) + 2.0;
    return title + HeightOf(table_.columns, kHead) + (table_.rows.empty() ? 0.0 : HeightOf(table_.rows.front(), kCell));
  }

 private:
  double HeightOf(const std::vector<std::string>& cells, const TextStyle& style) {
    double height = 0.0;
    for (std::size_t i = 0; i < boxes_.size() && i < cells.size(); ++i) height = std::max(height, canvas_.HeightOf(cells[i], boxes_[i] - 2.0 * kPad, style));
    return height + 2.0 * kPad;
  }

  void Row(const std::vector<std::string>& cells, const TextStyle& style, bool head) {
    const double height = HeightOf(cells, style);
    if (height > canvas_.room()) {
      canvas_.End("Table");
      canvas_.NewPage();
      canvas_.Begin("Table");
      if (!head) Row(table_.columns, kHead, true);
    }
    canvas_.Begin("TR");
    for (std::size_t i = 0; i < boxes_.size() && i < cells.size(); ++i) {
      if (head) canvas_.Fill(starts_[i], 0.0, boxes_[i], height, 0.92);
      canvas_.Frame(starts_[i], 0.0, boxes_[i], height, 0.7, false);
      canvas_.Text(cells[i], starts_[i] + kPad, kPad, boxes_[i] - 2.0 * kPad, style, head ? "TH" : "TD");
    }
    canvas_.End("TR");
    canvas_.Skip(height);
  }

  PaperCanvas& canvas_;
  const ReportTable& table_;
  std::vector<double> starts_, boxes_;
};

void WriteSection(PaperCanvas& canvas, const ReportSection& section, int zone_min) {
  constexpr double kMostOfPage = 300.0;
  const bool table_first = section.lines.empty() && !section.tables.empty();
  Heading(canvas, section.title, table_first ? std::min(TableWriter(canvas, section.tables.front()).FirstHeight() + 3.0, kMostOfPage) : kFewLines);
  for (const ReportLine& line : section.lines) Line(canvas, line);
  for (const ReportTable& table : section.tables) {
    canvas.Skip(3.0);
    TableWriter(canvas, table).Write();
  }
  for (const ReportWords& words : section.words) {
    Paragraph(canvas, words.text, kBody, 10.0);
    Paragraph(canvas, words.by + ", " + ToIso(words.at + Duration::Minutes(zone_min)).substr(0, 10), kSmall, 10.0);
  }
}

void WriteEnd(PaperCanvas& canvas, const Report& report) {
  Heading(canvas, "Signatures");
  if (report.seals.empty()) Line(canvas, {"Signature", "not signed", ReportFill{ReportFill::How::kHand, ""}, {}, {}});
  for (const ReportSeal& seal : report.seals) {
    Paragraph(canvas, SealLine(report, seal), kBody);
    Paragraph(canvas, "SHA-256 " + seal.report_sha256, kSmall);
  }
  for (const std::string& line : ChangesSince(report)) Paragraph(canvas, line, kSmall);
  if (const auto sources = SourcesOf(report); !sources.empty()) {
    Heading(canvas, "Sources");
    for (const std::string& source : sources) Paragraph(canvas, source, kSmall);
  }
  canvas.Skip(6.0);
  Paragraph(canvas, std::string(kReportStanding), kSmall);
  Paragraph(canvas, JournalLine(report), kSmall);
}

}  // namespace

Result<std::string> LetterPdf(const Letter& letter, PaperSize size, const std::filesystem::path& fonts) {
  CanvasSettings settings;
  if (size == PaperSize::kLetter) settings.width = 612.0, settings.height = 792.0;
  settings.title = letter.title;
  settings.date = ToIso(letter.as_of).substr(0, 19) + "Z";
  settings.fonts = fonts;
  settings.foot = [](int) { return std::string(kReportStanding); };
  auto canvas = OpenCanvas(settings);
  if (!canvas.ok()) return canvas.error();
  PaperCanvas& page = **canvas;
  constexpr TextStyle kPlain{10.0, false, 0.0};
  page.Text(letter.title, page.left(), 0.0, page.width(), kTitle, "H1");
  page.Skip(24.0);
  if (letter.invented) Paragraph(page, "INVENTED: nobody lived this case", {10.0, true, 0.0});
  Paragraph(page, "Name and date of birth: ______________________________", kPlain);
  for (const auto* parts : {&letter.patient, &letter.doctor}) {
    if (parts == &letter.doctor) page.Skip(8.0), page.Rule(0.0, 0.4);
    for (const LetterPart& part : *parts) {
      Heading(page, part.heading);
      for (const std::string& paragraph : part.paragraphs) Paragraph(page, paragraph, parts == &letter.patient ? kPlain : kBody);
    }
  }
  page.Skip(14.0);
  Paragraph(page, "Signature: ______________________________", kPlain);
  return page.Finish();
}

Result<std::string> ReportPdf(const Report& report, PaperSize size, const std::filesystem::path& fonts) {
  CanvasSettings settings;
  if (size == PaperSize::kLetter) settings.width = 612.0, settings.height = 792.0;
  settings.title = "Report: " + report.title;
  settings.date = ToIso(report.as_of).substr(0, 19) + "Z";
  settings.fonts = fonts;
  settings.foot = [&report](int page) {
    return fmt::format("Page {} · case {} · visit {} · entry {}{}", page, report.case_id, report.visit, report.seq, report.invented ? " · INVENTED: nobody lived this case" : "");
  };
  auto canvas = OpenCanvas(settings);
  if (!canvas.ok()) return canvas.error();
  PaperCanvas& page = **canvas;
  page.Text("Report: " + report.title, page.left(), 0.0, page.width(), kTitle, "H1");
  page.Skip(page.HeightOf("Report: " + report.title, page.width(), kTitle) + 2.0);
  Paragraph(page, HeadLine(report), kLabel);
  if (report.invented) Paragraph(page, "INVENTED: nobody lived this case", {9.0, true, 0.0});
  for (const ReportSection& section : report.sections) WriteSection(page, section, report.zone_min);
  if (!report.pictures.empty()) {
    constexpr double kHeadingPt = 30.0;  // of a heading, points
    if (page.room() < FirstPicturesHeight(page, report.pictures) + kHeadingPt) page.NewPage();
    Heading(page, "Key pictures");
    WritePictures(page, report.pictures);
  }
  WriteEnd(page, report);
  return page.Finish();
}

}  // namespace fairlead
