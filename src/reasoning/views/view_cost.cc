// SPDX-License-Identifier: Apache-2.0
#include "reasoning/views/view_cost.h"

#include <algorithm>
#include <cmath>

#include "geometry/trigonometry.h"
#include "geometry/view.h"
#include "reasoning/dose/peak_views.h"
#include "reasoning/dose/rate.h"

namespace fairlead {
namespace {

// Practice, no source.
constexpr double kIsocentre = 750.0, kDetector = 1050.0;                   // mm
constexpr double kField = 150.0;                                           // mm at the detector
constexpr double kScatterFrom = 30.0;                                      // degrees

Beam BeamOfView(const GantryAngles& angles) {
  View view;
  view.primary = angles.primary;
  view.secondary = angles.secondary;
  const BeamAxes axes = AxesOf(view);
  Beam beam;
  beam.angles = angles;
  beam.along = axes.beam;
  beam.column = axes.column;
  beam.row = axes.row;
  beam.source = -kIsocentre * axes.beam;
  beam.half_column = beam.half_row = kField / 2.0 / kDetector;
  return beam;
}

}  // namespace

SkinSoFar SkinSoFarOf(const SkinEstimate& estimate, std::span<const IrradiationEvent> events) {
  SkinSoFar skin{estimate.settings.body, estimate.map, estimate.peak.gray, std::nullopt, 1.76};
  if (const auto views = PeakByViews(estimate.peak, events, 1); !views.empty()) skin.burdened = views.front().angles;
  if (estimate.peak.gray > 0.0) skin.upper = estimate.high / estimate.peak.gray;
  return skin;
}

double DoseRateAgainstFrontal(const Body& body, const GantryAngles& angles) {
  const double nearer = PathThrough(body, {}).to_skin / PathThrough(body, angles).to_skin;
  return nearer * nearer * KermaRateAgainstFrontal(body, angles);
}

std::optional<BeamEntry> EntryOfView(const Body& body, const GantryAngles& angles) { return EntryOf(BeamOfView(angles), body); }

FieldDose DoseInField(const SkinSoFar& skin, const GantryAngles& angles) {
  FieldDose dose;
  Beam beam = BeamOfView(angles);
  const Vec3 along = beam.along;
  constexpr int kReach = 3;
  for (int i = -kReach; i <= kReach; ++i) {
    for (int j = -kReach; j <= kReach; ++j) {
      beam.along = Unit(along + (beam.half_column * i / kReach) * beam.column + (beam.half_row * j / kReach) * beam.row);
      const auto entry = EntryOf(beam, skin.body);
      if (!entry) continue;
      const double gray = ExposedAt(skin.map, *entry);
      if (i == 0 && j == 0) dose.middle = gray;
      dose.highest = std::max(dose.highest, gray);
    }
  }
  return dose;
}

double SkinPenalty(double gray) { return std::clamp((gray - 2.0) / 3.0, 0.0, 1.0); }

// The tube stands opposite to the detector: on the patient's right in left oblique views.
bool TubeOnOperatorsSide(const GantryReach& gantry, const GantryAngles& angles) {
  const double primary = angles.primary.degrees();
  return gantry.operator_side == "left" ? primary < -kScatterFrom : primary > kScatterFrom;
}

}  // namespace fairlead
