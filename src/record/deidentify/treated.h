// SPDX-License-Identifier: Apache-2.0
// The attributes of a file that stay, treated by the table of kept.h, and what the new file says of that. Inside this room.
#pragma once

#include <vector>

#include "imaging/dicom/dataset.h"
#include "imaging/dicom/elements.h"
#include "record/deidentify/image.h"
#include "record/deidentify/project.h"

namespace fairlead {

// What is kept of `item`, put into `set`; what was not is listed in `image`.
DataSet TreatedSet(const Item& item, const DeidProject& project, DeidImage& image, DataSet set);

void PutItems(DataSet& set, Tag tag, const std::vector<DataSet>& items);

// `content`: a structured report, not a picture.
void PutStatement(DataSet& set, const DeidProject& project, bool content);

}  // namespace fairlead
