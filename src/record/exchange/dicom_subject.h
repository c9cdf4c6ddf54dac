// SPDX-License-Identifier: Apache-2.0
// Whom a DICOM object of a case is about: nobody by name, the case by its id (PS3.3 C.7.1.1). Inside this room only.
#pragma once

#include "imaging/dicom/dataset.h"
#include "record/exchange/exchange.h"

namespace fairlead {

// (0010,0010) to (0010,0040); tags below go in before it, tags above after it.
void PutSubject(DataSet& set, const Report& report);

}  // namespace fairlead
