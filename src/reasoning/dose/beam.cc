// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/beam.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

// Stand-ins: practice, no source.
constexpr double kIsocentre = 750.0, kDetector = 1050.0;
constexpr double kReferenceBack = 150.0;   // mm from the isocentre towards the source: "rdsr-tid-10001"_source
constexpr double kFieldAtReference = 80.0; // mm
constexpr double kArcStep = 2.0, kTableStep = 5.0;  // degrees, mm
constexpr double kMostSamples = 400.0;

struct Field {
  double half_column = 0.0, half_row = 0.0;  // tangents
};

class Reader {
 public:
  Reader(std::size_t index, const IrradiationEvent& event, Beams& out) : index_(index), event_(event), out_(out) {}

  void Fault(std::string text, double widens) { out_.faults.push_back({index_, std::move(text), widens}); }

  double Distance(const std::optional<Length>& given, double low, double high, double otherwise, const char* name, double widens) {
    if (given && given->millimetres() >= low && given->millimetres() <= high) return given->millimetres();
    Fault(fmt::format("{} {}: {:.0f} mm stands in", given ? "implausible" : "no", name, otherwise), widens);
    return otherwise;
  }

  double Isocentre() { return Distance(event_.source_to_isocentre, 550, 900, kIsocentre, "distance from source to isocentre", 0.10); }

  // Without a word: 150 mm before the isocentre is what the standard means unless a report says otherwise.
  double Reference(double isocentre) {
    if (!event_.source_to_reference) return isocentre - kReferenceBack;
    const double given = event_.source_to_reference->millimetres();
    if (given >= 300 && given <= isocentre - 20) return given;
    Fault("the reference point is stated at or beyond the isocentre: 150 mm before it stands in", 0.05);
    return isocentre - kReferenceBack;
  }

  // Area of the collimated field at the detector, mm2; 0 if it is not stated.
  double StatedArea() const {
    if (event_.field_width && event_.field_height) return event_.field_width->millimetres() * event_.field_height->millimetres();
    return event_.field_area_mm2;
  }

  Field FieldOf(double detector, double reference) {
    const double area = StatedArea();
    const bool sides = event_.field_width && event_.field_height && area > 0.0;
    Field stated;
    if (sides) stated = {event_.field_width->millimetres() / 2 / detector, event_.field_height->millimetres() / 2 / detector};
    else if (area > 0.0) stated = {std::sqrt(area) / 2 / detector, std::sqrt(area) / 2 / detector};
    const double quotient = Quotient();
    if (quotient <= 0.0) {
      if (area > 0.0) return stated;
      Fault("neither field nor area product: a field of 80 mm at the reference point stands in", 0.10);
      return {kFieldAtReference / 2 / reference, kFieldAtReference / 2 / reference};
    }
    if (area <= 0.0) return {std::sqrt(quotient) / 2 / reference, std::sqrt(quotient) / 2 / reference};
    return Reconciled(stated, quotient, area * (reference / detector) * (reference / detector));
  }

  std::optional<double> KermaOf(double detector, double reference) {
    if (event_.kerma && event_.kerma->gray() > 0.0) return event_.kerma->gray();
    if (event_.area_product && event_.area_product->gray_square_metres() > 0.0) {
      double area = StatedArea() * 1e-6 * (reference / detector) * (reference / detector);
      if (area <= 0.0) area = kFieldAtReference * kFieldAtReference * 1e-6;
      Fault("no air kerma: worked out from the area product and the field", 0.20);
      return event_.area_product->gray_square_metres() / area;
    }
    return std::nullopt;
  }

  // Area product over kerma: the area of the field at the reference point, mm2; 0 if either is missing.
  double Quotient() const {
    if (!event_.kerma || !event_.area_product || event_.kerma->gray() <= 0.0 || event_.area_product->gray_square_metres() <= 0.0) return 0.0;
    return 1e6 * event_.area_product->gray_square_metres() / event_.kerma->gray();
  }

 private:
  // The meter's own quotient is preferred to collimator items that differ by more than a fifth; a power of ten between
  // them is a wrong unit.
  Field Reconciled(Field stated, double quotient, double collimated) {
    const double ratio = quotient / collimated;
    const double tens = std::round(std::log10(ratio));
    if (tens != 0.0 && std::abs(ratio / std::pow(10.0, tens) - 1.0) <= 0.2) {
      Fault("the area product is a power of ten away from kerma and field: its unit is wrong; the field is used, and the sum as the field has it", 0.05);
      const double stated_product = event_.area_product->gray_square_metres();
      out_.area_product += stated_product / std::pow(10.0, tens) - stated_product;
      return stated;
    }
    if (std::abs(ratio - 1.0) <= 0.2) return stated;
    const double side = std::sqrt(quotient);
    if (side < 20.0 || side > 350.0) {
      Fault("area product and kerma give no possible field: the collimator's is used", 0.10);
      return stated;
    }
    Fault("collimator and area product disagree about the field: the area product's is used", 0.05);
    const double scale = std::sqrt(ratio);
    return {stated.half_column * scale, stated.half_row * scale};
  }

  std::size_t index_;
  const IrradiationEvent& event_;
  Beams& out_;
};

Vec3 ReadTable(Vec3 table, TableReading reading) {
  if (reading == TableReading::kSwapped) return {table.z, table.y, table.x};
  if (reading == TableReading::kIgnored) return {};
  return table;
}

void Aim(Beam& beam, const GantryAngles& angles, double isocentre, Vec3 shift) {
  View view;
  view.primary = angles.primary;
  view.secondary = angles.secondary;
  const BeamAxes axes = AxesOf(view);
  beam.angles = angles;
  beam.along = axes.beam;
  beam.column = axes.column;
  beam.row = axes.row;
  beam.source = -isocentre * axes.beam - shift;
}

BeamFactors FactorsOf(Reader& reader, const IrradiationEvent& event, const BeamSettings& settings) {
  const bool known = event.kilovolts && *event.kilovolts >= 40 && *event.kilovolts <= 150 && event.copper;
  BeamFactors factors = UnknownFilterFactors();
  if (known) factors = FactorsFor(*event.kilovolts, *event.copper, settings.body.table.aluminium);
  else reader.Fault("no tube voltage or no filter: middle factors of backscatter and table stand in", 0.08);
  if (settings.medium) factors.medium = *settings.medium;
  return factors;
}

// The beams of one event: along the arc of a rotation and the path of the table, with equal shares of the dose.
void AddSamples(Beam beam, const IrradiationEvent& event, double isocentre, Vec3 zero, TableReading reading, Beams& out) {
  const GantryAngles from = *event.angles;
  GantryAngles to = event.end_angles.value_or(from);
  // No C-arm turns by 270 degrees in one event: from 170 to -170 it went on over 180.
  const double turn = (to.primary - from.primary).degrees();
  if (std::abs(turn) > 270.0) to.primary = to.primary - Angle::Degrees(std::copysign(360.0, turn));
  const double arc = std::max(std::abs((to.primary - from.primary).degrees()), std::abs((to.secondary - from.secondary).degrees()));
  const Vec3 first = event.table ? ReadTable(*event.table - zero, reading) : Vec3{};
  const Vec3 last = event.table && event.table_end ? ReadTable(*event.table_end - zero, reading) : first;
  const int pieces = static_cast<int>(std::min(kMostSamples, std::max(std::ceil(arc / kArcStep), std::ceil(Norm(last - first) / kTableStep))));
  const double whole = beam.kerma;
  for (int i = 0; i <= pieces; ++i) {
    const double t = pieces == 0 ? 0.0 : static_cast<double>(i) / pieces;
    beam.kerma = whole / (pieces + 1);
    Aim(beam, {from.primary + t * (to.primary - from.primary), from.secondary + t * (to.secondary - from.secondary)}, isocentre, first + t * (last - first));
    out.beams.push_back(beam);
  }
}

void AddEvent(std::size_t index, const IrradiationEvent& event, const BeamSettings& settings, Vec3 zero, Beams& out) {
  Reader reader(index, event, out);
  if (event.area_product) out.area_product += std::max(0.0, event.area_product->gray_square_metres());
  if (event.kerma && event.kerma->gray() <= 0.0 && !event.area_product) return;  // stated as nothing
  const double isocentre = reader.Isocentre();
  const double reference = reader.Reference(isocentre);
  double detector = kDetector;
  if (reader.StatedArea() > 0.0 || event.source_to_detector) detector = reader.Distance(event.source_to_detector, 800, 1400, kDetector, "distance from source to detector", 0.05);
  const auto kerma = reader.KermaOf(detector, reference);
  if (!kerma) {
    reader.Fault("neither air kerma nor area product: this event adds nothing", 0.0);
    return;
  }
  out.kerma += *kerma;
  const double calibrated = *kerma * settings.calibration;
  if (!event.angles || !(std::abs(event.angles->secondary.degrees()) <= 90.0)) {
    reader.Fault("no usable angles of the C-arm: its dose lies somewhere and is kept in the upper end alone", 0.0);
    out.unplaced.push_back(index);
    out.unplaced_kerma += calibrated;
    return;
  }
  const Field field = reader.FieldOf(detector, reference);
  Beam beam;
  beam.event = index;
  beam.half_column = field.half_column;
  beam.half_row = field.half_row;
  beam.reference = reference;
  beam.kerma = calibrated;
  beam.factors = FactorsOf(reader, event, settings);
  beam.log_table = LogOf(std::clamp(settings.body.table.transmission.value_or(beam.factors.table), 1e-6, 1.0));
  beam.scatter = settings.body.table.forward_scatter;
  AddSamples(beam, event, isocentre, zero, settings.table, out);
}

}  // namespace

Beams BeamsOf(std::span<const IrradiationEvent> events, const BeamSettings& settings) {
  Beams out;
  Vec3 zero;  // the table as it stood in the first event that says where
  if (!settings.body.table_known) {
    const auto first = std::ranges::find_if(events, [](const IrradiationEvent& e) { return e.table.has_value(); });
    if (first != events.end()) zero = *first->table;
  }
  for (std::size_t i = 0; i < events.size(); ++i) AddEvent(i, events[i], settings, zero, out);
  return out;
}

}  // namespace fairlead
