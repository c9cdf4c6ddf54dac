// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/picture.h"

namespace fairlead {

SpineSide SpineFrom(const CoarsePicture&) { return {}; }

void CompareSpineWithView(Run&) {}

}  // namespace fairlead
