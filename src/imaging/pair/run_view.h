// SPDX-License-Identifier: Apache-2.0
// The view of a frame as its run states it.
#pragma once

#include "geometry/view.h"
#include "imaging/dicom/run.h"
#include "measure/result.h"

namespace fairlead {

// What a points file says of a frame's view instead of the run: members that are set replace the run's.
struct ViewStated {
  std::optional<Angle> primary, secondary;
  std::optional<Length> source_to_detector, source_to_isocentre;
  std::optional<PixelSpacing> spacing;
};

// Errors: a frame that the run has not; angles, distances or spacing that nobody states (each named).
Result<View> ViewOfFrame(const Run& run, int frame, const ViewStated& instead = {});

}  // namespace fairlead
