// SPDX-License-Identifier: Apache-2.0
#include "imaging/dosereport/report.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "imaging/dosereport/report_parts.h"

namespace fairlead {
namespace {

using enum Dimension;

constexpr std::size_t kMostEvents = 20'000;
constexpr std::size_t kMostReportElements = 12'000'000;  // 20,000 events with the items that a full one has
constexpr double kPossible = 1e9;

// PS3.6 and PS3.4 annex B
constexpr Tag kSopClass = 0x0008'0016, kStudy = 0x0020'000D, kContentDate = 0x0008'0023, kContentTime = 0x0008'0033;
constexpr Tag kPatientSize = 0x0010'1020, kPatientWeight = 0x0010'1030;
constexpr std::array<std::string_view, 2> kReportClasses{"1.2.840.10008.5.1.4.1.1.88.67", "1.2.840.10008.5.1.4.1.1.88.76"};
constexpr std::array<std::string_view, 4> kRunClasses{"1.2.840.10008.5.1.4.1.1.12.1", "1.2.840.10008.5.1.4.1.1.12.1.1",
                                                      "1.2.840.10008.5.1.4.1.1.12.2", "1.2.840.10008.5.1.4.1.1.12.3"};

PlaneTotals TotalsFrom(const ContentItem& container, Remarks& remarks, DoseReport& report) {
  PlaneTotals totals;
  for (const ContentItem& child : ChildrenOf(*container.item)) {
    if (IsDcm(child.name, "113764")) {
      totals.plane = PlaneOf(CodeOf(child));
      totals.all_planes = IsDcm(CodeOf(child), "113890");
    }
    if (child.kind == ContentKind::kContainer && IsDcm(child.name, "122505")) {
      for (const ContentItem& below : ChildrenOf(*child.item)) {
        if (IsDcm(below.name, "122322")) report.calibration = NumberIn(below, kCount, "calibration factor", remarks);
      }
    }
    if (child.kind != ContentKind::kNumber) continue;
    const auto number = [&](Dimension dimension, const char* name) { return NumberIn(child, dimension, name, remarks); };
    if (IsDcm(child.name, "113725")) {
      if (const auto gray = number(kKerma, "total air kerma")) totals.kerma = Kerma::Gray(*gray);
    } else if (IsDcm(child.name, "113722")) {
      if (const auto product = number(kAreaProduct, "total area product")) totals.area_product = AreaProduct::GraySquareMetres(*product);
    } else if (IsDcm(child.name, "113730")) {
      if (const auto seconds = number(kTime, "fluoroscopy time")) totals.fluoroscopy = Duration::Seconds(*seconds);
    } else if (IsDcm(child.name, "113855")) {
      if (const auto seconds = number(kTime, "acquisition time")) totals.acquisition = Duration::Seconds(*seconds);
    }
  }
  return totals;
}

// Two containers of one plane are versions of one total: the larger is kept.
void KeepTotals(const PlaneTotals& totals, Remarks& remarks, DoseReport& report) {
  const auto same = std::ranges::find_if(report.totals, [&](const PlaneTotals& t) { return t.plane == totals.plane && t.all_planes == totals.all_planes; });
  if (same == report.totals.end()) {
    report.totals.push_back(totals);
    return;
  }
  remarks.Add("totals of one plane stand twice: the larger is kept");
  if (totals.kerma.value_or(Kerma()).gray() > same->kerma.value_or(Kerma()).gray()) *same = totals;
}

// One identifier for several events is none.
void TellEventsApart(Remarks& remarks, DoseReport& report) {
  std::set<std::string, std::less<>> seen;
  for (std::size_t i = 0; i < report.events.size(); ++i) {
    IrradiationEvent& event = report.events[i];
    if (seen.insert(event.id).second) continue;
    remarks.Add("an event's identifier stands at an earlier event too: it is counted as another one");
    event.id = fmt::format("{} ({})", event.id.substr(0, 100), i + 1);
    seen.insert(event.id);
  }
}

void WalkContent(const Item& root, Remarks& remarks, DoseReport& report) {
  for (const ContentItem& child : ChildrenOf(root)) {
    if (child.kind != ContentKind::kContainer) continue;
    if (IsDcm(child.name, "113702")) KeepTotals(TotalsFrom(child, remarks, report), remarks, report);
    if (IsDcm(child.name, "113706")) {
      ++report.containers;
      if (report.containers <= kMostEvents) report.events.push_back(EventFrom(child, report.containers, remarks));
    }
  }
}

void ReadPatient(const Item& dataset, DoseReport& report) {
  if (const auto metres = NumberOf(dataset, kPatientSize); metres && *metres >= 1.0 && *metres <= 2.3) report.height_cm = 100.0 * *metres;
  if (const auto weight = NumberOf(dataset, kPatientWeight); weight && *weight >= 25.0 && *weight <= 300.0) report.weight_kg = *weight;
}

Result<DoseReport> ReportFromContent(const Item& dataset) {
  DoseReport report;
  Remarks remarks;
  WalkContent(dataset, remarks, report);
  if (report.containers > kMostEvents) {
    return Error{fmt::format("the report holds {} events, more than {}", report.containers, kMostEvents), "dose report", "ask for it in parts"};
  }
  if (report.events.empty() && report.totals.empty()) {
    return Error{"the report holds neither an irradiation event nor a total", "dose report", "export it again; the system's own dose page can be typed in instead"};
  }
  if (report.events.empty()) remarks.Add("the report holds totals and no irradiation event");
  if (report.totals.empty()) remarks.Add("the report holds no totals to compare the events with");
  TellEventsApart(remarks, report);
  report.remarks = remarks.Taken();
  return report;
}

}  // namespace

void Remarks::Add(const std::string& text) {
  constexpr std::size_t kMost = 64;
  const auto [found, fresh] = where_.try_emplace(text.substr(0, 200), lines_.size());
  if (!fresh) {
    ++lines_[found->second].second;
  } else if (lines_.size() < kMost) {
    lines_.emplace_back(found->first, 1);
  } else {
    where_.erase(found);
  }
}

std::vector<std::string> Remarks::Taken() const {
  std::vector<std::string> taken;
  for (const auto& [text, count] : lines_) taken.push_back(count == 1 ? text : fmt::format("{} ({} times)", text, count));
  for (std::string& line : taken) {
    std::ranges::replace_if(line, [](char c) { return static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) > 0x7e; }, '?');
  }
  return taken;
}

std::optional<double> NumberIn(const ContentItem& content, Dimension dimension, const std::string& name, Remarks& remarks) {
  const Measured measured = MeasuredOf(content);
  const std::string one = (std::string_view("aeiou").find(name.front()) != std::string_view::npos ? "an " : "a ") + name;
  if (measured.values.empty()) {
    remarks.Add(one + " without a number");
    return std::nullopt;
  }
  if (measured.values.size() > 1) {
    remarks.Add(one + " with several numbers is left out");
    return std::nullopt;
  }
  double factor = 1.0;
  if (measured.unit.empty()) {
    remarks.Add(one + " without a unit: " + std::string(UnitOf(dimension)) + " is taken");
  } else if (const auto known = FactorOf(dimension, measured.unit)) {
    factor = *known;
    if (dimension != kArea && factor != 1.0) remarks.Add(name + " in " + measured.unit + ": converted");
  } else {
    remarks.Add(one + " in the unit \"" + measured.unit + "\", which is not known, is left out");
    return std::nullopt;
  }
  const double value = factor * measured.values.front();
  if (std::abs(value) <= kPossible) return value;
  remarks.Add(one + " beyond every size is left out");
  return std::nullopt;
}

std::string IsoTime(std::string_view text) {
  const auto digits = [&](std::size_t from, std::size_t count) {
    if (from + count > text.size()) return false;
    return std::ranges::all_of(text.substr(from, count), [](char c) { return c >= '0' && c <= '9'; });
  };
  if (!digits(0, 8)) return {};
  std::string iso = std::string(text.substr(0, 4)) + "-" + std::string(text.substr(4, 2)) + "-" + std::string(text.substr(6, 2));
  if (!digits(8, 4)) return iso;
  iso += "T" + std::string(text.substr(8, 2)) + ":" + std::string(text.substr(10, 2)) + ":" + (digits(12, 2) ? std::string(text.substr(12, 2)) : "00");
  const std::size_t zone = text.find_first_of("+-", 12);
  if (zone != std::string_view::npos && digits(zone + 1, 4)) iso += text[zone] + std::string(text.substr(zone + 1, 2)) + ":" + std::string(text.substr(zone + 3, 2));
  return iso;
}

Plane PlaneOf(const Code& code) {
  if (IsDcm(code, "113620")) return Plane::kA;
  return IsDcm(code, "113621") ? Plane::kB : Plane::kSingle;
}

Result<DoseReport> ReadDoseReport(Bytes file) {
  auto dicom = ParseDicom(file, kMostReportElements);
  if (!dicom) return dicom.error();
  const Item& dataset = dicom->dataset;
  const std::string kind = TextOf(dataset, kSopClass);
  const bool named = IsDcm(ContentOf(dataset).name, "113701");
  Result<DoseReport> report = Error{"this is neither a radiation dose report nor an angiogram run", "SOP Class UID", "choose the dose report of the procedure"};
  if (named || std::ranges::find(kReportClasses, kind) != kReportClasses.end()) report = ReportFromContent(dataset);
  else if (std::ranges::find(kRunClasses, kind) != kRunClasses.end()) report = ReportFromHeader(dataset);
  if (!report) return report;
  report->study = TextOf(dataset, kStudy).substr(0, 64);
  report->written = IsoTime(TextOf(dataset, kContentDate) + TextOf(dataset, kContentTime));
  ReadPatient(dataset, *report);
  return report;
}

}  // namespace fairlead
