// SPDX-License-Identifier: Apache-2.0
// The dose of a run from its own header (PS3.3 C.8.7.2): one event without fluoroscopy before or after it. Air kerma is
// seldom there; area product and the field give it.
#include <cmath>

#include "imaging/dosereport/report_parts.h"

namespace fairlead {
namespace {

constexpr Tag kEventUid = 0x0008'3010, kInstance = 0x0008'0018, kDate = 0x0008'0022, kTime = 0x0008'0032, kDateTime = 0x0008'002A;
constexpr Tag kVoltage = 0x0018'0060, kFrameTime = 0x0018'1063, kDetector = 0x0018'1110, kIsocentre = 0x0018'1111;
constexpr Tag kSpacing = 0x0018'1164, kFieldSize = 0x0018'1149, kSetting = 0x0018'1155, kAreaProductTag = 0x0018'115E;
constexpr Tag kPrimary = 0x0018'1510, kSecondary = 0x0018'1511, kFilter = 0x0018'7050, kFilterLeast = 0x0018'7052, kFilterMost = 0x0018'7054;
constexpr Tag kLeft = 0x0018'1702, kRight = 0x0018'1704, kUpper = 0x0018'1706, kLower = 0x0018'1708;
constexpr Tag kEntranceMilligray = 0x0040'8302, kEntranceDecigray = 0x0040'0302, kFrames = 0x0028'0008;

// Of several values the first is taken: a bi-plane pair has one file a plane.
std::optional<Length> LengthOf(const Item& dataset, Tag tag) {
  const auto value = NumberOf(dataset, tag);
  return value && std::abs(*value) < 1e5 ? std::optional(Length::Millimetres(*value)) : std::nullopt;
}

// The collimator's edges are detector pixels counted from 1; else the field of view.
void PutField(const Item& dataset, IrradiationEvent& event) {
  const auto spacing = NumbersOf(dataset, kSpacing);
  const auto left = NumberOf(dataset, kLeft), right = NumberOf(dataset, kRight), upper = NumberOf(dataset, kUpper), lower = NumberOf(dataset, kLower);
  if (spacing.size() == 2 && left && right && upper && lower && *right > *left + 1 && *lower > *upper + 1) {
    event.field_width = Length::Millimetres((*right - *left - 1) * spacing[1]);
    event.field_height = Length::Millimetres((*lower - *upper - 1) * spacing[0]);
    return;
  }
  const auto size = NumbersOf(dataset, kFieldSize);
  if (size.empty()) return;
  event.field_height = Length::Millimetres(size.front());  // rows first
  event.field_width = Length::Millimetres(size.back());
}

void PutFilter(const Item& dataset, IrradiationEvent& event) {
  const std::string material = TextOf(dataset, kFilter);
  if (material.empty()) return;
  const auto least = NumberOf(dataset, kFilterLeast), most = NumberOf(dataset, kFilterMost);
  if (material != "COPPER") {
    if (material.find("COPPER") == std::string::npos) event.copper = Length();
    return;
  }
  if (const auto thick = least && most ? std::optional((*least + *most) / 2) : (least ? least : most); thick && *thick >= 0.0 && *thick <= 3.0) {
    event.copper = Length::Millimetres(*thick);
  }
}

void PutDose(const Item& dataset, IrradiationEvent& event, Remarks& remarks) {
  if (const auto milli = NumberOf(dataset, kEntranceMilligray); milli && *milli > 0.0 && *milli < 1e6) event.kerma = Kerma::Milligray(*milli);
  else if (const auto deci = NumberOf(dataset, kEntranceDecigray); deci && *deci > 0.0 && *deci < 1e4) event.kerma = Kerma::Gray(*deci / 10.0);
  if (const auto product = NumberOf(dataset, kAreaProductTag); product && *product > 0.0 && *product < 1e7) {
    event.area_product = AreaProduct::GraySquareMetres(*product * 1e-5);  // dGy cm2
  }
  if (!event.kerma && !event.area_product) remarks.Add("the run's header states no dose");
  remarks.Add("from a run's header: fluoroscopy that was not kept is not in it");
}

}  // namespace

DoseReport ReportFromHeader(const Item& dataset) {
  DoseReport report;
  Remarks remarks;
  report.from = DoseSource::kRunHeader;
  report.containers = 1;
  IrradiationEvent event;
  event.id = TextOf(dataset, kEventUid).substr(0, 64);
  if (event.id.empty()) event.id = TextOf(dataset, kInstance).substr(0, 64);
  if (event.id.empty()) event.id = "run";
  event.started = IsoTime(TextOf(dataset, kDateTime));
  if (event.started.empty()) event.started = IsoTime(TextOf(dataset, kDate) + TextOf(dataset, kTime));
  event.kind = TextOf(dataset, kSetting) == "SC" ? EventKind::kFluoroscopy : EventKind::kAcquisition;
  event.kilovolts = NumberOf(dataset, kVoltage);
  event.frames = NumberOf(dataset, kFrames);
  if (const auto each = NumberOf(dataset, kFrameTime); each && event.frames && *each > 0.0 && *each < 1e4 && *event.frames < 1e5) {
    event.duration = Duration::Milliseconds(*each * *event.frames);
  }
  event.source_to_detector = LengthOf(dataset, kDetector);
  event.source_to_isocentre = LengthOf(dataset, kIsocentre);
  const auto primary = NumberOf(dataset, kPrimary), secondary = NumberOf(dataset, kSecondary);
  if (primary && secondary && std::abs(*primary) <= 360.0 && std::abs(*secondary) <= 90.0) {
    event.angles = GantryAngles{Wrapped(Angle::Degrees(*primary)), Angle::Degrees(*secondary)};
  } else {
    remarks.Add("an event without usable angles");
  }
  PutField(dataset, event);
  PutFilter(dataset, event);
  PutDose(dataset, event, remarks);
  report.events.push_back(std::move(event));
  report.remarks = remarks.Taken();
  return report;
}

}  // namespace fairlead
