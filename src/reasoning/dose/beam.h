// SPDX-License-Identifier: Apache-2.0
// From an irradiation event to beams that can be traced: what the event leaves unsaid is filled in, each time with a
// remark, and an event during which gantry or table moved becomes several beams.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "casebook/irradiation.h"
#include "reasoning/dose/beam_factors.h"
#include "reasoning/dose/body.h"

namespace fairlead {

// How the table positions of a report are read. The standard's text names the axes one way, and not every C-arm follows
// it; until a gantry has been tested the three are compared.
enum class TableReading { kAsWritten, kSwapped, kIgnored };

struct BeamSettings {
  Body body = DefaultBody();
  double calibration = 1.0;             // measured over displayed air kerma
  bool calibrated = false;
  std::optional<double> medium;         // in the stead of the table of factors
  TableReading table = TableReading::kAsWritten;
};

struct Beam {
  std::size_t event = 0;                // index of the event it belongs to
  GantryAngles angles;
  Vec3 source;                          // in the patient's axes
  Vec3 along, column, row;              // unit: source to detector, and across
  double half_column = 0.0, half_row = 0.0;  // tangents of the half field: |q.column| <= half_column * depth
  double reference = 600.0;             // mm from source to reference point
  double kerma = 0.0;                   // Gy at the reference point, calibrated
  BeamFactors factors;
  double log_table = 0.0, scatter = 1.0;  // logarithm of the transmission at right angles; forward scatter of the table
};

struct EventFault {
  std::size_t event = 0;
  std::string text;                     // "no distance from source to isocentre: 750 mm stands in"
  double widens = 0.0;                  // standard deviation that it adds, as a share of the dose
};

struct Beams {
  std::vector<Beam> beams;
  std::vector<EventFault> faults;
  std::vector<std::size_t> unplaced;    // events with a dose and no direction: they lie somewhere
  double unplaced_kerma = 0.0;          // Gy
  double kerma = 0.0;                   // Gy, of all events, as displayed
  double area_product = 0.0;            // Gy m2
};

Beams BeamsOf(std::span<const IrradiationEvent> events, const BeamSettings& settings);

}  // namespace fairlead
