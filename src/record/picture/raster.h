// SPDX-License-Identifier: Apache-2.0
// One frame as a person sees it: 8-bit greys or colours within the run's window, what somebody covered painted black, and the
// bytes of it as a file.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "imaging/dicom/run.h"

namespace fairlead {

struct Raster {
  int columns = 0, rows = 0;
  int samples = 1;                  // 1 grey, 3 red, green and blue
  std::vector<std::uint8_t> bytes;  // rows * columns * samples
};

// Columns and rows of the frame from its upper left corner.
struct CoveredBox {
  int left = 0, top = 0, width = 0, height = 0;
};

// `frame` holds one frame as `run` describes it; greys of a run go through its window as on the screen. While the picture has more than `most_across`
// columns or rows, two by two pixels become their mean. Boxes are painted before that. An empty raster where the bytes do not fit.
Raster RasterOf(const Run& run, std::span<const std::uint8_t> frame, const std::vector<CoveredBox>& boxes, int most_across);

// Painted black; what lies outside the raster is left.
void CoverBoxes(Raster& raster, const std::vector<CoveredBox>& boxes);

// Without loss; the same raster gives the same bytes. Empty for an empty raster.
std::string PngBytes(const Raster& raster);

// With loss, for moving pictures; `quality` 1 to 100. Empty for an empty raster.
std::string JpegBytes(const Raster& raster, int quality);

}  // namespace fairlead
