// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/dataset.h"
#include "record/exchange/dicom_subject.h"
#include "record/exchange/exchange.h"

namespace fairlead {
namespace {

constexpr std::string_view kEncapsulatedPdf = "1.2.840.10008.5.1.4.1.1.104.1";
constexpr std::string_view kExplicitLittle = "1.2.840.10008.1.2.1";

std::string DayDigits(Instant at) {
  const std::string iso = ToIso(at);
  return iso.substr(0, 4) + iso.substr(5, 2) + iso.substr(8, 2);
}
std::string TimeDigits(Instant at) {
  const std::string iso = ToIso(at);
  return iso.substr(11, 2) + iso.substr(14, 2) + iso.substr(17, 2);
}

DataSet ReportCode() {
  DataSet code;
  code.Text(0x00080100, "SH", "18745-0");
  code.Text(0x00080102, "SH", "LN");
  code.Text(0x00080104, "LO", "Cardiac Catheterization Report");
  return code;
}

}  // namespace

std::vector<std::uint8_t> DicomPdf(const Report& report, std::string_view pdf) {
  const std::string of = report.case_id + " visit " + std::to_string(report.visit);
  const std::string instance = UidOf("report " + of + " entry " + std::to_string(report.seq) + " " + report.hash);
  DataSet set;
  set.Text(0x00080005, "CS", "ISO_IR 192");
  set.Text(0x00080016, "UI", kEncapsulatedPdf);
  set.Text(0x00080018, "UI", instance);
  set.Text(0x00080020, "DA", DayDigits(report.as_of));
  set.Text(0x00080023, "DA", DayDigits(report.as_of));
  set.Text(0x0008002A, "DT", "");
  set.Text(0x00080030, "TM", TimeDigits(report.as_of));
  set.Text(0x00080033, "TM", TimeDigits(report.as_of));
  set.Text(0x00080050, "SH", "");
  set.Text(0x00080060, "CS", "DOC");
  set.Text(0x00080064, "CS", "WSD");
  set.Text(0x00080070, "LO", "");
  set.Text(0x00080090, "PN", "");
  PutSubject(set, report);
  set.Text(0x0020000D, "UI", UidOf("study " + of));
  set.Text(0x0020000E, "UI", UidOf("reports " + of));
  set.Text(0x00200010, "SH", std::to_string(report.visit));
  set.Text(0x00200011, "IS", "1");
  set.Text(0x00200013, "IS", "1");
  set.Text(0x00280301, "CS", "YES");  // the pages may carry whatever a person wrote into them
  set.OneItem(0x0040A043, ReportCode());
  set.Text(0x00420010, "ST", "Report of visit " + std::to_string(report.visit));
  FileBytes document(pdf.begin(), pdf.end());
  if (document.size() % 2 != 0) document.push_back(0);
  set.Raw(0x00420011, "OB", std::move(document));
  set.Text(0x00420012, "LO", "application/pdf");
  set.Long(0x00420015, static_cast<std::uint32_t>(pdf.size()));
  FileBytes file = FilePreamble(kEncapsulatedPdf, kExplicitLittle, instance);
  const FileBytes body = set.Written();
  file.insert(file.end(), body.begin(), body.end());
  return file;
}

}  // namespace fairlead
