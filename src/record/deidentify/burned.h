// SPDX-License-Identifier: Apache-2.0
// Where text may be burned into a picture. A simple detector for a person's eye to go to: it proves nothing, and nothing leaves
// on its word alone.
#pragma once

#include <string>
#include <vector>

#include "imaging/dicom/elements.h"
#include "imaging/dicom/run.h"
#include "record/deidentify/image.h"

namespace fairlead {

// Boxes of small, sharp, flat signs that stand still through the run, grown together along lines. At most 32, largest first.
std::vector<MaskBox> SuspectText(const Run& run, Bytes frames);

// Why a header alone makes one suspect: "ultrasound", "secondary capture", "the file says so", "the file does not say"; empty: none.
std::string SuspectHeader(const Run& run);

}  // namespace fairlead
