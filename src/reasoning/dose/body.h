// SPDX-License-Identifier: Apache-2.0
// The patient on the table, and the skin as a grid of places.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "geometry/torso.h"

namespace fairlead {

// All in the patient's axes, for the table position in which the patient's shift is zero.
struct TableTop {
  double top_y = 150.0;          // mm below the isocentre
  double pad = 20.0;             // mm between its top and the back
  double half_width = 225.0;     // mm
  double centre_x = 0.0;         // mm
  Length aluminium = Length::Millimetres(1.5);  // of table and pad together, as aluminium of the same transmission
  std::optional<double> transmission;           // at right angles, in its stead
  double forward_scatter = 1.10;                // "table-scatter"_source
};

struct Body {
  Torso torso;
  TableTop table;
  bool size_known = false, table_known = false;  // else stand-ins, which widen every interval
};

// The default: 170 cm, 75 kg, arms up, as when the heart is centred (practice).
Body DefaultBody();

// Puts the table under the back; with `top_y` known the body is lowered or raised onto it.
void LayOnTable(Body& body, std::optional<double> top_y);

// The skin of one cylinder: rows along z, in each row the places round it from the back through the patient's left.
struct SkinPart {
  EllipticCylinder body;
  int round = 0, along = 0;
  double z0 = 0.0, step_z = 0.0;       // of the first row; between rows
  std::vector<double> x, y, nx, ny;    // of the places round; the same in each row
};
struct Skin {
  std::vector<SkinPart> parts;         // the trunk first, then the arms
  std::size_t places() const;
};
// Places at most `spacing` apart.
Skin SkinOf(const Torso& torso, Length spacing = Length::Millimetres(5.0));

}  // namespace fairlead
