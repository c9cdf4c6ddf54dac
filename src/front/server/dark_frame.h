// SPDX-License-Identifier: Apache-2.0
// One frame as measurements want it: dark where much is absorbed, whichever way the file stores its greys.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "imaging/dicom/run.h"
#include "imaging/ruler/ruler.h"
#include "imaging/trace/picture.h"
#include "measure/result.h"

namespace fairlead {

// Keeps its own bytes where they had to be turned over; else `bytes` must outlive it.
class DarkFrame {
 public:
  DarkFrame(const Run& run, std::span<const std::uint8_t> bytes);
  DarkFrame(DarkFrame&&) = default;
  GreyFrame grey() const { return {turned_.empty() ? bytes_ : std::span<const std::uint8_t>(turned_), rows_, columns_, bytes_per_value_}; }

 private:
  std::span<const std::uint8_t> bytes_;
  std::vector<std::uint8_t> turned_;  // of a picture whose smallest value is white
  int rows_, columns_, bytes_per_value_;
};

// Errors: a run in colour, a frame that it does not have.
Status CheckMeasurable(const Run& run, int frame);

// What the shutter leaves open, a little inside its edge.
std::optional<InsideShutter> InsideOf(const Run& run);

// The scale by geometry, with what that means. Errors: a run that does not say.
Result<PixelSize> PixelSizeByGeometry(const Run& run);

}  // namespace fairlead
