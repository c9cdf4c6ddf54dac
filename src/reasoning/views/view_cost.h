// SPDX-License-Identifier: Apache-2.0
// What a view costs beside what it shows: dose rate by its path through the body, and skin that was exposed already.
#pragma once

#include <optional>

#include "geometry/gantry.h"
#include "reasoning/dose/estimate.h"
#include "reasoning/views/gantry_reach.h"

namespace fairlead {

// The skin so far, and how it was irradiated.
struct SkinSoFar {
  Body body;
  SkinMap map;
  double peak = 0.0;           // Gy
  std::optional<GantryAngles> burdened;  // the view that gave most to the peak
  double upper = 1.76;         // upper end of the estimate over its middle
};
SkinSoFar SkinSoFarOf(const SkinEstimate& estimate, std::span<const IrradiationEvent> events);

// Entrance dose rate against a frontal view, by the model of docs/methods-views.md: the distance to the skin and twice
// the dose for each 60 mm more of body in the way. The 60 mm are practice until a lab fits its own.
double DoseRateAgainstFrontal(const Body& body, const GantryAngles& angles);

// Where the central beam of a view enters, with the field that a usual collimation gives there.
std::optional<BeamEntry> EntryOfView(const Body& body, const GantryAngles& angles);

struct FieldDose {
  double middle = 0.0, highest = 0.0;  // Gy of the map so far in the middle of the field, and anywhere in it
};
FieldDose DoseInField(const SkinSoFar& skin, const GantryAngles& angles);

// 0 below 2 Gy, 1 from 5 Gy on; practice, after the published bands of skin effects.
double SkinPenalty(double gray);

// Does the X-ray tube come to the operator's side? Scatter to the operator is then many times that of the other side.
bool TubeOnOperatorsSide(const GantryReach& gantry, const GantryAngles& angles);

struct ViewWeights {
  double foreshortening = 1.0, overlap = 1.0, rate = 0.15, skin = 1.0, operator_side = 0.05;
  double most_foreshortening = 0.25;  // no working view hides more
  double most_skin = 10.0;            // Gy, upper end of the estimate; a view that enters there is not advised
};

struct CostParts {
  double foreshortening = 0.0, overlap = 0.0, rate = 0.0, skin = 0.0, operator_side = 0.0;
  double sum() const { return foreshortening + overlap + rate + skin + operator_side; }
};

}  // namespace fairlead
