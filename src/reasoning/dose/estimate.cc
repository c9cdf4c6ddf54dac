// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/estimate.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace fairlead {
namespace {

// Peak over reference air kerma, over whole procedures: "psd-regression-2016"_source; the lower share is practice.
constexpr double kWholeProcedure = 1.18, kWholeProcedureLow = 0.5;

struct Range {
  double low = 1.0, high = 1.0;  // factors
};

Range Widened(Range range, double sd) {
  constexpr double kNinetyPercent = 1.64;  // of a normal law, to each side
  const double more = kNinetyPercent * sd;
  const auto wider = [more](double factor) { return std::sqrt(std::log(factor) * std::log(factor) + more * more); };
  return {std::exp(-wider(range.low)), std::exp(wider(range.high))};
}

// What the events at the peak left unsaid, weighed by their shares: the same gap in two events is one error.
double UnsaidAt(const SkinPeak& peak, const std::vector<EventFault>& faults) {
  std::map<std::size_t, double> variance;
  for (const EventFault& fault : faults) variance[fault.event] += fault.widens * fault.widens;
  double sum = 0.0, whole = 0.0;
  for (const Share& share : peak.by) {
    whole += share.gray;
    if (const auto found = variance.find(share.event); found != variance.end()) sum += share.gray * std::sqrt(found->second);
  }
  return whole > 0.0 ? sum / whole : 0.0;
}

bool HasTable(std::span<const IrradiationEvent> events) {
  return std::ranges::any_of(events, [](const IrradiationEvent& e) { return e.table.has_value(); });
}

void SpanTableReadings(std::span<const IrradiationEvent> events, const SkinEstimate& made, int threads, double& lowest, double& highest) {
  for (const TableReading reading : {TableReading::kSwapped, TableReading::kIgnored}) {
    BeamSettings other = made.settings;
    other.table = reading;
    const Beams beams = BeamsOf(events, other);
    const double peak = HighestOf(MapOf(beams.beams, other.body, made.map.skin, threads));
    lowest = std::min(lowest, peak);
    highest = std::max(highest, peak);
  }
}

void FromTotals(SkinEstimate& made) {
  made.from_totals = true;
  const double kerma = made.beams.kerma * made.settings.calibration;
  made.peak.gray = kWholeProcedure * kerma;
  made.low = kWholeProcedureLow * kerma;
  made.high = kWholeProcedure * 1.76 * kerma;
  made.why.emplace_back("No event says from where it came: the peak is 1.18 times the air kerma, as over whole procedures.");
}

}  // namespace

std::string PlaceText(const SkinEstimate& made) {
  if (made.peak.part > 0) return made.peak.part == 1 ? "the right arm" : "the left arm";
  const EllipticCylinder& trunk = made.settings.body.torso.trunk;
  const double round = RoundOf(trunk, made.peak.place.at).degrees(), z = made.peak.place.at.z;
  const double aside = std::abs(made.peak.place.at.x - trunk.centre.x);
  std::string text = std::abs(round) < 90 ? "the back" : "the front";
  if (std::abs(std::abs(round) - 90.0) < 25.0) text = "the side";
  if (aside >= 10.0) text += fmt::format(", {:.0f} cm to the {}", aside / 10, round < 0 ? "right" : "left");
  if (std::abs(z) >= 10.0) text += fmt::format(", {:.0f} cm {} the isocentre's level", std::abs(z) / 10, z > 0 ? "above" : "below");
  return text;
}

SkinEstimate EstimateSkin(std::span<const IrradiationEvent> events, const BeamSettings& settings, int threads) {
  SkinEstimate made;
  made.settings = settings;
  made.beams = BeamsOf(events, settings);
  made.map = MapOf(made.beams.beams, settings.body, SkinOf(settings.body.torso), threads);
  made.peak = PeakOf(made.beams.beams, settings.body, made.map);
  if (made.peak.gray <= 0.0) {
    if (made.beams.unplaced_kerma > 0.0) FromTotals(made);
    return made;
  }
  const bool known = settings.body.size_known && settings.body.table_known;
  Range range = known ? Range{0.75, 1.35} : Range{0.57, 1.76};  // "skin-map-review-2020"_source
  made.why.emplace_back(known ? "Body and table as stated: the spread of such programs on phantoms."
                              : "Body or table is a stand-in: the spread of such programs on patients.");
  const double unsaid = UnsaidAt(made.peak, made.beams.faults);
  if (unsaid > 0.0) made.why.emplace_back("Gaps in the events at the peak widen the range.");
  range = Widened(range, unsaid);
  double lowest = made.peak.gray, highest = made.peak.gray;
  if (!settings.body.table_known && HasTable(events)) {
    SpanTableReadings(events, made, threads, lowest, highest);
    made.why.emplace_back("This C-arm's table axes were never tested: the range spans the table as written, with its axes swapped, and not moved.");
  }
  made.low = lowest * range.low;
  made.high = highest * range.high + kWholeProcedure * made.beams.unplaced_kerma;
  if (made.beams.unplaced_kerma > 0.0) made.why.emplace_back("Events without angles raise the upper end.");
  return made;
}

}  // namespace fairlead
