// SPDX-License-Identifier: Apache-2.0
// One irradiation event of a C-arm: what a dose report, a run's header or a person at the board says of it. Whatever
// nobody said is absent; who uses an event decides what stands in, and says so.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/gantry.h"
#include "geometry/vector.h"
#include "measure/dose.h"
#include "measure/quantity.h"

namespace fairlead {

enum class EventKind { kUnknown, kFluoroscopy, kAcquisition, kRotation };
enum class Plane { kSingle, kA, kB };

std::string_view EventKindName(EventKind kind);  // "fluoroscopy", "acquisition", "rotation", "unknown"
std::string_view PlaneName(Plane plane);         // "single", "A", "B"

struct IrradiationEvent {
  std::string id;                  // unique identifier, or the name that a file gave it
  std::string started;             // ISO 8601 to the second as stated, without a zone where none was stated
  EventKind kind = EventKind::kUnknown;
  Plane plane = Plane::kSingle;
  std::optional<Kerma> kerma;      // at the reference point, free in air
  std::optional<AreaProduct> area_product;
  std::optional<GantryAngles> angles, end_angles;  // end: of a rotation
  std::optional<Length> source_to_isocentre, source_to_detector, source_to_reference;
  std::optional<Length> field_width, field_height;  // at the detector: along columns, along rows
  double field_area_mm2 = 0.0;                      // at the detector; 0 if not stated
  std::optional<double> kilovolts;                  // mean of the pulses
  std::optional<Length> copper;
  std::optional<Duration> duration;                 // of the pedal press
  std::optional<double> frames;                     // pulses or frames
  // Table top against the isocentre, towards the patient's left, back and head; only differences between events have
  // meaning unless the gantry's record says where zero is.
  std::optional<Vec3> table, table_end;
};

}  // namespace fairlead
