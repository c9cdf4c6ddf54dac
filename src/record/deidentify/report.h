// SPDX-License-Identifier: Apache-2.0
// A radiation dose report that tells nothing of the patient (PS3.15 with Clean Structured Content, 113104): built anew from the numbers,
// codes, moved times and keyed identifiers of its content. Texts, names and codes of a station's own stay behind.
#pragma once

#include "record/deidentify/image.h"

namespace fairlead {

// Errors: not DICOM; no dose report (PS3.4: X-Ray Radiation Dose SR, or an Enhanced or Comprehensive SR that holds one); big-endian.
Result<DeidImage> DeidentifyReport(Bytes file, const DeidProject& project);

}  // namespace fairlead
