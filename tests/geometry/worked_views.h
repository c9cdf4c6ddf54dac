// SPDX-License-Identifier: Apache-2.0
// The two views in which the geometry's expected numbers were worked, and their like.
#pragma once

#include "geometry/view.h"

namespace fairlead {

inline View TheView(double primary_deg, double secondary_deg, double sid_mm) {
  View view;
  view.primary = Angle::Degrees(primary_deg);
  view.secondary = Angle::Degrees(secondary_deg);
  view.source_to_detector = Length::Millimetres(sid_mm);
  view.source_to_isocentre = Length::Millimetres(750);
  view.row_spacing = view.column_spacing = Length::Millimetres(0.390625);
  view.rows = view.columns = 512;
  return view;
}

}  // namespace fairlead
