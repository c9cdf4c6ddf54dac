// SPDX-License-Identifier: Apache-2.0
// report: what is printed, taken away and signed.
#include <fmt/core.h>

#include <fstream>

#include "front/cli/carry.h"
#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/cli/writing.h"
#include "front/server/client.h"
#include "front/server/body.h"
#include "front/server/json_text.h"
#include "front/server/practice.h"
#include "front/server/random.h"
#include "front/server/report_case.h"
#include "front/server/report_pictures.h"
#include "keeping/images/reading.h"
#include "practice/registry/registry.h"
#include "record/exchange/exchange.h"
#include "record/lesson/clean.h"
#include "record/paper/paper.h"

namespace fairlead {
namespace {

Result<std::string> SignThroughServer(Client& client, const Arguments& arguments, const std::string& case_id) {
  const std::string body = JsonText().Open('{').Member("by", arguments.by).Key("zone_min").Raw(std::to_string(arguments.report.zone_min)).Close('}').Take();
  auto answer = client.Post("/api/cases/" + case_id + "/report/sign", body);
  if (!answer.ok()) return answer.error();
  if (answer->status != 200) return ParseErrorAnswer(answer->status, answer->body);
  return std::move(answer->body);
}

Result<std::string> SignByOurselves(const Arguments& arguments, const std::string& case_id, const Knowledge& lab) {
  auto practice = Practice::Open(arguments.data, {});
  if (!practice.ok()) return practice.error();
  auto receipts = (*practice)->AppendPlanned(case_id, [&](const State& state) -> Result<std::vector<IncomingEntry>> {
    auto entry = SignatureOf(state, lab, arguments.report.zone_min, {arguments.by, "command line", kVersion, Now()});
    if (!entry.ok()) return entry.error();
    return std::vector<IncomingEntry>{std::move(*entry)};
  });
  if (!receipts.ok()) return receipts.error();
  return ReceiptsJson(*receipts);
}

int SignNow(const Arguments& arguments, const std::string& case_id, const Knowledge& lab) {
  if (arguments.by.empty()) return Fail(Error{"nobody signs", "--by", "give the name or initials of whoever stands for the report", Fault::kUsage});
  const auto client = Connect(arguments.data);
  auto receipts = client != nullptr ? SignThroughServer(*client, arguments, case_id) : SignByOurselves(arguments, case_id, lab);
  if (!receipts.ok()) return Fail(receipts.error());
  Print(arguments.json ? *receipts : "signed by " + arguments.by);
  return 0;
}

// The pictures of the folder, beside a running program or at rest.
void WithPictures(const Arguments& arguments, Report& report, const State& state) {
  if (auto images = OpenImagesToRead(arguments.data); images.ok()) FetchPictures(report, state, **images);
}

Result<std::string> BytesOf(const Arguments& arguments, const Report& report) {
  const std::string kind = arguments.report.out.extension().string();
  if (kind == ".pdf") return ReportPdf(report, arguments.report.paper == "letter" ? PaperSize::kLetter : PaperSize::kA4);
  if (kind == ".html") return ReportHtml(report);
  if (kind == ".txt") return ReportWordsOf(report);
  if (kind == ".json") return ReportJson(report);
  return Error{"the report is not written as \"" + kind + "\"", "-o", "name a file that ends in .pdf, .html, .txt or .json", Fault::kUsage};
}

Status WriteBytes(const std::filesystem::path& path, const std::string& bytes) {
  std::ofstream file(path, std::ios::binary);
  file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  file.close();
  if (!file) return Error{"the file cannot be written", path.string(), "look at the folder and its space", Fault::kOutside};
  return Done{};
}

int WriteLetter(const Arguments& arguments, const State& state, const Knowledge& lab) {
  auto letter = LetterOfCase(state, lab, arguments.report.zone_min);
  if (!letter.ok()) return Fail(letter.error());
  const std::filesystem::path& path = arguments.report.letter;
  Result<std::string> bytes = path.extension() == ".pdf" ? LetterPdf(*letter, arguments.report.paper == "letter" ? PaperSize::kLetter : PaperSize::kA4) : LetterHtml(*letter);
  if (!bytes.ok()) return Fail(bytes.error());
  if (auto written = WriteBytes(path, *bytes); !written.ok()) return Fail(written.error());
  Print("written: " + path.string());
  return 0;
}

// The case's rows of the registry, table by table, with the dictionary of their columns.
int WriteRows(const Arguments& arguments, const std::string& case_id, const State& state) {
  Registry registry;
  AddCase(registry, case_id, state);
  for (const WithheldCase& each : registry.withheld) return Fail(Error{"the case has no row: " + each.why, each.case_id, "complete the journal"});
  std::error_code fault;
  std::filesystem::create_directories(arguments.report.out, fault);
  for (const RegistryTable& table : TablesOf(registry))
    if (auto written = WriteBytes(arguments.report.out / (table.name + ".csv"), CsvText(table)); !written.ok()) return Fail(written.error());
  Print(fmt::format("written: {}, {} visits; dictionary.csv says what each column means", arguments.report.out.string(), registry.visits.size()));
  return 0;
}

}  // namespace

int WriteReport(const Arguments& arguments) {
  auto read = ReadEntries(arguments);
  if (!read.ok()) return Fail(read.error());
  auto lab = ReadLab(arguments);
  if (!lab.ok()) return Fail(lab.error());
  if (arguments.report.sign) return SignNow(arguments, read->id, *lab);
  auto state = StateAsked(arguments, std::move(read->entries));
  if (!state.ok()) return Fail(state.error());
  if (!arguments.report.letter.empty()) return WriteLetter(arguments, *state, *lab);
  auto report = ReportOfCase(*state, *lab, arguments.report.zone_min);
  if (!report.ok()) return Fail(report.error());
  if (arguments.report.out.empty()) {
    Print(arguments.json ? ReportJson(*report) : ReportWordsOf(*report));
    return 0;
  }
  WithPictures(arguments, *report, *state);
  auto bytes = BytesOf(arguments, *report);
  if (!bytes.ok()) return Fail(bytes.error());
  if (auto written = WriteBytes(arguments.report.out, *bytes); !written.ok()) return Fail(written.error());
  Print(fmt::format("written: {}, {} bytes, {} items not recorded", arguments.report.out.string(), bytes->size(), GapCount(*report)));
  return 0;
}

int WriteLesson(const Arguments& arguments) {
  auto read = ReadEntries(arguments);
  if (!read.ok()) return Fail(read.error());
  const State state = Fold(std::move(read->entries));
  auto images = OpenImagesToRead(arguments.data);
  if (!images.ok()) return Fail(images.error());
  LessonClips clips = ClipsOf(state, **images);
  const std::size_t shown = clips.clips.size();
  const Lesson lesson = LessonOfCase(state, {arguments.report.mask, arguments.report.keep}, RandomHex(16), std::move(clips.clips));
  const std::string html = LessonHtml(lesson);
  if (auto written = WriteBytes(arguments.report.out, html); !written.ok()) return Fail(written.error());
  if (shown > 0) Print(fmt::format("{} clip{}, {:.1f} MB", shown, shown == 1 ? "" : "s", static_cast<double>(html.size()) / 1e6));
  for (const std::string& each : clips.left_out) Print("left out: " + each);
  if (!lesson.taken_out.empty()) Print("taken out as possible names; give with --keep-word each that is none: " + TakenOutWords(lesson.taken_out));
  if (!lesson.stayed.empty()) Print("stayed as ordinary words, and are names as well; give with --mask each that is one here: " + TakenOutWords(lesson.stayed));
  Print("written: " + arguments.report.out.string() + "; read every word of it before you show it: a name that is an ordinary word written small (baker) is not taken out");
  return 0;
}

int WriteExchange(const Arguments& arguments) {
  if (int{arguments.report.fhir} + int{arguments.report.dicom} + int{arguments.report.sr} + int{arguments.only == "csv"} != 1) return Fail(Error{"one form at a time", "exchange", "add --fhir, --dicom, --sr or --csv", Fault::kUsage});
  auto read = ReadEntries(arguments);
  if (!read.ok()) return Fail(read.error());
  if (arguments.only == "csv") return WriteRows(arguments, read->id, Fold(std::move(read->entries)));
  auto lab = ReadLab(arguments);
  if (!lab.ok()) return Fail(lab.error());
  const State state = Fold(std::move(read->entries));
  auto report = ReportOfCase(state, *lab, arguments.report.zone_min);
  if (!report.ok()) return Fail(report.error());
  if (arguments.report.sr) {
    const auto file = DicomMeasurements(state, *report, NamesOfImages(state, arguments.data));
    if (auto written = WriteBytes(arguments.report.out, std::string(file.begin(), file.end())); !written.ok()) return Fail(written.error());
    Print("written: " + arguments.report.out.string());
    return 0;
  }
  WithPictures(arguments, *report, state);
  auto pdf = ReportPdf(*report, PaperSize::kA4);
  if (!pdf.ok()) return Fail(pdf.error());
  std::string bytes;
  if (arguments.report.fhir) {
    bytes = FhirBundle(state, *report, *pdf);
  } else {
    const auto file = DicomPdf(*report, *pdf);
    bytes.assign(file.begin(), file.end());
  }
  if (auto written = WriteBytes(arguments.report.out, bytes); !written.ok()) return Fail(written.error());
  Print("written: " + arguments.report.out.string());
  return 0;
}

}  // namespace fairlead
