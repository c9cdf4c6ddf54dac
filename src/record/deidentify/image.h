// SPDX-License-Identifier: Apache-2.0
// A run or a still as a DICOM file that tells nothing of the patient: built anew from the attributes that may leave and from the
// decoded frames, masked. Nothing of the old file's bytes is copied that was not looked at.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "imaging/dicom/dataset.h"
#include "imaging/dicom/elements.h"
#include "imaging/dicom/run.h"
#include "measure/result.h"
#include "record/deidentify/project.h"

namespace fairlead {

// Columns and rows from the upper left corner; painted in every frame.
struct MaskBox {
  int left = 0, top = 0, width = 0, height = 0;
};

struct DeidImage {
  FileBytes file;
  std::vector<std::string> removed;  // "(0010,0010) PN", each tag once; of nested ones "in (0040,0275)"
  std::size_t replaced = 0;          // UIDs and dates
};

// `file` is the DICOM file, `frames` its decoded frames as `run` describes them. Only after somebody has looked at the pictures:
// the result says that no text is burned in. Errors: not DICOM; big-endian; frames that do not fit.
Result<DeidImage> DeidentifyImage(Bytes file, const Run& run, Bytes frames, const std::vector<MaskBox>& boxes, const DeidProject& project);

}  // namespace fairlead
