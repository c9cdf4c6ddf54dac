// SPDX-License-Identifier: Apache-2.0
// What other systems take: the visit as a FHIR R4 bundle, the report's PDF as a DICOM object. Pure: ids and unique
// identifiers follow from the case, so that a second export replaces the first one.
#pragma once

#include <cstdint>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fold.h"
#include "record/report/report.h"

namespace fairlead {

// A Bundle of type collection: Patient, Encounter, Procedure, Observations, Devices, MedicationAdministrations and a
// DiagnosticReport with `pdf` (none if empty). Units by UCUM; a code stands only where it is sure, else text. What is not
// known is left out or says so; spreads are components. The patient has no name: whoever receives it links by their own id.
std::string FhirBundle(const State& state, const Report& report, std::string_view pdf);

// Encapsulated PDF (DICOM PS3.3 A.45.1), explicit little-endian. The name stays empty and the number is that of the case:
// the archive's own order or the person who sends it puts the patient's in their place.
std::vector<std::uint8_t> DicomPdf(const Report& report, std::string_view pdf);

// How an archive names a stored run.
struct SrImage {
  std::string class_uid, instance_uid, study_uid, series_uid;
  int frames = 1;
};
using SrImages = std::map<std::string, SrImage>;  // by the hash of the file

// The numbers of the visit as a structured report (Comprehensive 3D SR, template TID 1500), explicit little-endian: every fact that is a
// number with its spread and, where it was measured on a run in `images`, the points on that frame; the totals. Partial while items are not recorded;
// never verified: a person does that where it arrives. Names as in DicomPdf.
std::vector<std::uint8_t> DicomMeasurements(const State& state, const Report& report, const SrImages& images);

}  // namespace fairlead
