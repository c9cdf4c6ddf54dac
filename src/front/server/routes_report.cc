// SPDX-License-Identifier: Apache-2.0
// The report over HTTP: as data for the page, as HTML and PDF to take away; signing it.
#include <algorithm>
#include <array>
#include <charconv>

#include "front/server/answer.h"
#include "front/server/body.h"
#include "front/server/json_text.h"
#include "front/server/practice_carry.h"
#include "front/server/random.h"
#include "front/server/report_case.h"
#include "front/server/report_pictures.h"
#include "front/server/routes.h"
#include "record/exchange/exchange.h"
#include "record/paper/paper.h"
#include "record/report/drawing.h"
#include "record/report/html_text.h"

namespace fairlead {
namespace {

constexpr int kMostZone_min = 840;

Result<int> ZoneIn(const RequestHead& head) {
  const std::string_view text = QueryValue(head, "zone_min");
  if (text.empty()) return 0;
  int zone = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), zone);
  if (read.ec != std::errc() || read.ptr != text.data() + text.size() || zone < -kMostZone_min || zone > kMostZone_min)
    return Error{"a zone is at most 14 hours from UTC", "zone_min", "send minutes east of UTC"};
  return zone;
}

enum class With { kWords, kPictures };

Result<Report> ReportAsked(App& app, const Asked& asked, With with, const std::string& only = {}) {
  auto zone = ZoneIn(asked.request.head);
  if (!zone.ok()) return zone.error();
  auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return state.error();
  auto lab = app.practice.Lab();
  if (!lab.ok()) return lab.error();
  auto report = ReportOfCase(*state, **lab, *zone);
  if (report.ok() && with == With::kPictures) FetchPictures(*report, *state, app.practice.images(), only);
  return report;
}

std::optional<Response> NoSuchCase(App& app, const Asked& asked) {
  auto has = app.practice.Has(asked.given[0]);
  if (!has.ok()) return Refusal(has.error());
  if (*has) return std::nullopt;
  return Refusal(404, Error{"there is no such case", "", "choose one from the list of cases"});
}

Response ShowReport(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  auto report = ReportAsked(app, asked, With::kWords);
  if (!report.ok()) return Refusal(report.error());
  return Json(ReportJson(*report));
}

Response Taken(std::string bytes, const char* type, const std::string& name) {
  Response response;
  response.type = type;
  response.headers = {{"Content-Disposition", "attachment; filename=\"" + name + "\""}, {"Cache-Control", "no-store"}};
  response.text = std::move(bytes);
  return response;
}

Response TakeHtml(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  auto report = ReportAsked(app, asked, With::kPictures);
  if (!report.ok()) return Refusal(report.error());
  return Taken(ReportHtml(*report), "text/html; charset=utf-8", "report-" + asked.given[0] + ".html");
}

// One of the report's pictures for the page, by the note that chose it.
Response ShowPicture(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  auto report = ReportAsked(app, asked, With::kPictures, asked.given[1]);
  if (!report.ok()) return Refusal(report.error());
  const auto picture = std::ranges::find(report->pictures, asked.given[1], &KeyPicture::entry);
  if (picture == report->pictures.end()) return Refusal(404, Error{"the report has no such picture", "", "read the report again"});
  std::string svg = PictureSvg(*picture);
  if (svg.empty()) return Refusal(404, Error{MissingText(*picture), picture->title, "choose another frame"});
  Response response;
  response.type = "image/svg+xml";
  response.headers = {{"Cache-Control", "no-store"}};
  response.text = std::move(svg);
  return response;
}

Response TakeLetter(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  const std::string_view paper = QueryValue(asked.request.head, "paper");
  if (!paper.empty() && paper != "a4" && paper != "letter") return Refusal(Error{"there is no such paper", "paper", "a4 or letter"});
  auto zone = ZoneIn(asked.request.head);
  if (!zone.ok()) return Refusal(zone.error());
  auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return Refusal(state.error());
  auto lab = app.practice.Lab();
  if (!lab.ok()) return Refusal(lab.error());
  auto letter = LetterOfCase(*state, **lab, *zone);
  if (!letter.ok()) return Refusal(letter.error());
  auto pdf = LetterPdf(*letter, paper == "letter" ? PaperSize::kLetter : PaperSize::kA4);
  if (!pdf.ok()) return Refusal(pdf.error());
  return Taken(std::move(*pdf), "application/pdf", "letter-" + asked.given[0] + ".pdf");
}

Response TakePdf(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  const std::string_view paper = QueryValue(asked.request.head, "paper");
  if (!paper.empty() && paper != "a4" && paper != "letter") return Refusal(Error{"there is no such paper", "paper", "a4 or letter"});
  auto report = ReportAsked(app, asked, With::kPictures);
  if (!report.ok()) return Refusal(report.error());
  auto pdf = ReportPdf(*report, paper == "letter" ? PaperSize::kLetter : PaperSize::kA4);
  if (!pdf.ok()) return Refusal(pdf.error());
  return Taken(std::move(*pdf), "application/pdf", "report-" + asked.given[0] + ".pdf");
}

// The report's PDF in the form that another system takes.
Response TakeFhir(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return Refusal(state.error());
  auto report = ReportAsked(app, asked, With::kPictures);
  if (!report.ok()) return Refusal(report.error());
  auto pdf = ReportPdf(*report, PaperSize::kA4);
  if (!pdf.ok()) return Refusal(pdf.error());
  return Taken(FhirBundle(*state, *report, *pdf), "application/fhir+json", "case-" + asked.given[0] + ".fhir.json");
}

Response TakeDicom(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  auto report = ReportAsked(app, asked, With::kPictures);
  if (!report.ok()) return Refusal(report.error());
  auto pdf = ReportPdf(*report, PaperSize::kA4);
  if (!pdf.ok()) return Refusal(pdf.error());
  const auto bytes = DicomPdf(*report, *pdf);
  return Taken({bytes.begin(), bytes.end()}, "application/dicom", "report-" + asked.given[0] + ".dcm");
}

// The numbers of the visit with the frames they were measured on.
Response TakeMeasurements(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return Refusal(state.error());
  auto report = ReportAsked(app, asked, With::kWords);
  if (!report.ok()) return Refusal(report.error());
  const auto bytes = DicomMeasurements(*state, *report, NamesOfImages(*state, DataOf(app.practice)));
  return Taken({bytes.begin(), bytes.end()}, "application/dicom", "measurements-" + asked.given[0] + ".dcm");
}

// Tags differ from one page to the next: the key is made for it and forgotten.
Response TakeLesson(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return Refusal(state.error());
  LessonWords words;
  for (const auto& [name, value] : asked.request.head.query) {
    if (name == "mask" && words.mask.size() < 64) words.mask.push_back(value);
    if (name == "keep" && words.keep.size() < 256) words.keep.push_back(value);
  }
  return Taken(LessonHtml(LessonOfCase(*state, std::move(words), RandomHex(16), ClipsOf(*state, app.practice.images()).clips)), "text/html; charset=utf-8", "lesson.html");
}

Response ShowLessonPlan(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return Refusal(state.error());
  return Json(LessonPlanJson(*state));
}

struct SignBody {
  std::string by, device;
  int zone_min = 0;
};

Result<SignBody> ParseSignBody(std::string_view json, bool local) {
  auto members = MembersOf(json);
  if (!members.ok()) return members.error();
  SignBody body;
  body.device = local ? "command line" : "page";
  for (const auto& [name, value] : *members) {
    if (name == "zone_min") {
      auto zone = ParseNumber(value);
      if (!zone.ok()) return Within(name, zone.error());
      if (!(*zone >= -kMostZone_min && *zone <= kMostZone_min)) return Error{"a zone is at most 14 hours from UTC", name, "send minutes east of UTC"};
      body.zone_min = static_cast<int>(*zone);
      continue;
    }
    if (name != "by") return Error{"there is no member \"" + name.substr(0, 60) + "\"", "the body", "send by and zone_min"};
    auto text = ParseText(value);
    if (!text.ok()) return text.error();
    body.by = std::move(*text);
  }
  if (body.by.empty() || body.by.size() > 64) return Error{"a name has 1 to 64 bytes", "by", "give the name or initials of whoever stands for the report"};
  return body;
}

// Made and written in one go: what is signed is what the journal holds.
Response SignReport(App& app, Asked& asked) {
  if (auto none = NoSuchCase(app, asked)) return std::move(*none);
  auto body = ParseSignBody(asked.request.body, asked.request.head.local);
  if (!body.ok()) return Refusal(body.error());
  auto lab = app.practice.Lab();
  if (!lab.ok()) return Refusal(lab.error());
  std::optional<Error> refused;
  auto receipts = app.practice.AppendPlanned(asked.given[0], [&](const State& state) -> Result<std::vector<IncomingEntry>> {
    auto entry = SignatureOf(state, **lab, body->zone_min, {body->by, body->device, app.version, Now()});
    if (!entry.ok()) {
      refused = entry.error();
      return *refused;
    }
    return std::vector<IncomingEntry>{std::move(*entry)};
  });
  if (refused) return Refusal(*refused);
  if (!receipts.ok()) return Refusal(receipts.error().fault == Fault::kOutside ? 503 : 409, receipts.error());
  return Json(ReceiptsJson(*receipts));
}

constexpr std::array<Route, 11> kRoutes = {{
    {.method = "GET", .path = "/api/cases/{id}/report", .answer = ShowReport},
    {.method = "GET", .path = "/api/cases/{id}/report.html", .slow = true, .answer = TakeHtml},
    {.method = "GET", .path = "/api/cases/{id}/report/pictures/{entry}", .slow = true, .answer = ShowPicture},
    {.method = "GET", .path = "/api/cases/{id}/report.pdf", .slow = true, .answer = TakePdf},
    {.method = "GET", .path = "/api/cases/{id}/letter.pdf", .slow = true, .answer = TakeLetter},
    {.method = "GET", .path = "/api/cases/{id}/lesson.html", .slow = true, .answer = TakeLesson},
    {.method = "GET", .path = "/api/cases/{id}/fhir.json", .slow = true, .answer = TakeFhir},
    {.method = "GET", .path = "/api/cases/{id}/report.dcm", .slow = true, .answer = TakeDicom},
    {.method = "GET", .path = "/api/cases/{id}/lesson", .answer = ShowLessonPlan},
    {.method = "GET", .path = "/api/cases/{id}/measurements.dcm", .slow = true, .answer = TakeMeasurements},
    {.method = "POST", .path = "/api/cases/{id}/report/sign", .body = Route::Body::kJson, .needs = Role::kOperator, .answer = SignReport},
}};

}  // namespace

std::span<const Route> ReportRoutes() { return kRoutes; }

}  // namespace fairlead
