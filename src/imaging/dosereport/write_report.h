// SPDX-License-Identifier: Apache-2.0
// An invented radiation dose report as a DICOM file, with faults of the field on request. The program never writes a
// report of a real patient: it is not the device that irradiates.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/irradiation.h"
#include "measure/result.h"

namespace fairlead {

// How a report departs from the standard. Each is one that reports from the field show.
struct ReportStyle {
  bool old_codes = false;           // SNOMED RT in the stead of SNOMED CT
  bool micro_units = false;         // uGy.m2 and mGy, said so
  bool wrong_area_unit = false;     // numbers in Gy cm2 with the unit Gy.m2
  bool no_distances = false;
  bool zero_fields = false;         // collimated sides stated as 0
  bool no_totals = false;
  bool one_identifier = false;      // the same for every event
  bool empty_values = false;        // every third air kerma without a number
};
// "old-codes", "micro-units", ...: the names of the faults, and a style from one. Errors: no such name.
std::vector<std::string_view> ReportFaults();
Status AddFault(std::string_view name, ReportStyle& style);

// `set` names the invented procedure; the identifiers follow from it.
std::vector<std::uint8_t> DoseReportFile(std::span<const IrradiationEvent> events, const std::string& set, const ReportStyle& style);

// An invented procedure of `count` events: fluoroscopy and acquisitions in a few views, the table moved now and then. The
// same seed gives the same events on every machine.
std::vector<IrradiationEvent> InventedEvents(std::uint64_t seed, int count);

}  // namespace fairlead
