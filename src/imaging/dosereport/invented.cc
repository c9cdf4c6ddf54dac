// SPDX-License-Identifier: Apache-2.0
// Invented procedures and the faults that their reports can be given. Figures are chosen to be plausible, not measured.
#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "imaging/dosereport/write_report.h"
#include "imaging/phantom/random.h"

namespace fairlead {
namespace {

struct FaultName {
  std::string_view name;
  bool ReportStyle::* flag;
};
constexpr auto kFaults = std::to_array<FaultName>({{"old-codes", &ReportStyle::old_codes},
                                                   {"micro-units", &ReportStyle::micro_units},
                                                   {"wrong-area-unit", &ReportStyle::wrong_area_unit},
                                                   {"no-distances", &ReportStyle::no_distances},
                                                   {"zero-fields", &ReportStyle::zero_fields},
                                                   {"no-totals", &ReportStyle::no_totals},
                                                   {"one-identifier", &ReportStyle::one_identifier},
                                                   {"empty-values", &ReportStyle::empty_values}});

// To so many digits after the point, so that a report's decimal strings hold the number whole.
double Rounded(double value, double digits) {
  const double scale = std::pow(10.0, digits);
  return std::round(value * scale) / scale;
}

struct Pose {
  double primary, secondary;  // degrees
};
constexpr auto kPoses = std::to_array<Pose>({{-30, -20}, {0, 32}, {38, 24}, {-8, 38}, {45, -22}, {-32, 0}});

// Seconds after nine in the morning of an invented day.
std::string ClockText(double seconds) {
  const int whole = static_cast<int>(seconds);
  return fmt::format("2031-03-04T{:02}:{:02}:{:02}", 9 + whole / 3600, whole / 60 % 60, whole % 60);
}

std::string EventUid(std::uint64_t seed, int index) {
  SeededRandom random(seed * 1'000'003 + static_cast<std::uint64_t>(index));
  return fmt::format("2.25.1{:018}{:018}", random.Next() % UINT64_C(1'000'000'000'000'000'000), random.Next() % UINT64_C(1'000'000'000'000'000'000));
}

void SetTube(SeededRandom& random, IrradiationEvent& event) {
  const bool fluoro = event.kind == EventKind::kFluoroscopy;
  const double seconds = Rounded(fluoro ? random.Within(2, 45) : random.Within(1.5, 6), 1);
  event.duration = Duration::Seconds(seconds);
  event.frames = std::round(seconds * (fluoro ? 7.5 : 15.0));
  event.kilovolts = Rounded(random.Within(66, 110), 1);
  event.copper = Length::Millimetres(fluoro ? (random.Share() < 0.5 ? 0.3 : 0.6) : 0.1);
  const double per_minute = fluoro ? random.Within(12, 45) : random.Within(150, 420);  // mGy
  event.kerma = Kerma::Gray(Rounded(per_minute * seconds / 60.0 / 1000.0, 6));
}

void SetGeometry(SeededRandom& random, const Pose& pose, IrradiationEvent& event) {
  event.angles = GantryAngles{Angle::Degrees(Rounded(pose.primary + random.Within(-2, 2), 1)), Angle::Degrees(Rounded(pose.secondary + random.Within(-2, 2), 1))};
  const double detector = Rounded(random.Within(980, 1150), 0), side = Rounded(random.Within(110, 190), 0), reference = 600.0;
  event.source_to_isocentre = Length::Millimetres(750);
  event.source_to_detector = Length::Millimetres(detector);
  event.source_to_reference = Length::Millimetres(reference);
  event.field_width = Length::Millimetres(side);
  event.field_height = Length::Millimetres(Rounded(side * random.Within(0.85, 1.0), 0));
  const double area = side * event.field_height->millimetres() * (reference / detector) * (reference / detector) * 1e-6;
  event.area_product = AreaProduct::GraySquareMetres(Rounded(area * event.kerma->gray(), 10));
}

}  // namespace

std::vector<std::string_view> ReportFaults() {
  std::vector<std::string_view> names;
  for (const FaultName& fault : kFaults) names.push_back(fault.name);
  return names;
}

Status AddFault(std::string_view name, ReportStyle& style) {
  const auto found = std::ranges::find(kFaults, name, &FaultName::name);
  if (found == kFaults.end()) {
    std::string known;
    for (const std::string_view each : ReportFaults()) known += (known.empty() ? "" : ", ") + std::string(each);
    return Error{"there is no such fault", std::string(name.substr(0, 40)), "choose from " + known};
  }
  style.*(found->flag) = true;
  return Done{};
}

std::vector<IrradiationEvent> InventedEvents(std::uint64_t seed, int count) {
  SeededRandom random(seed);
  std::vector<IrradiationEvent> events;
  double clock = 0.0;
  Vec3 table;
  std::size_t pose = 0;
  for (int i = 0; i < count; ++i) {
    if (random.Share() < 0.2) pose = random.Next() % kPoses.size();
    if (random.Share() < 0.1) table = {Rounded(random.Within(-25, 25), 0), 0.0, Rounded(random.Within(-40, 40), 0)};
    IrradiationEvent event;
    event.id = EventUid(seed, i);
    event.kind = random.Share() < 0.75 ? EventKind::kFluoroscopy : EventKind::kAcquisition;
    event.started = ClockText(clock);
    event.table = table;
    SetTube(random, event);
    SetGeometry(random, kPoses[pose], event);
    clock += event.duration->seconds() + std::floor(random.Within(3, 12));
    events.push_back(std::move(event));
  }
  return events;
}

}  // namespace fairlead
