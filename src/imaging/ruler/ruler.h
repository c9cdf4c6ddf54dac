// SPDX-License-Identifier: Apache-2.0
// From clicks to millimetres in one view: the size of a pixel from a catheter of known size, and the length of a
// clicked line, each with its standard deviation and what that is made of. Uncertainty is propagated to first order;
// the parts are independent and their root sum of squares is the reading's sd.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "casebook/entry.h"
#include "measure/quantity.h"
#include "measure/reading.h"
#include "measure/result.h"
#include "measure/source.h"

namespace fairlead {

// The size of one pixel in the plane of the object measured.
struct PixelSize {
  Length per_pixel;
  Length sd;
  std::vector<UncertaintyPart<Length>> parts;
  std::string method;                 // "catheter 6 French, along the shaft"
  std::vector<std::string> warnings;  // whole sentences for the reader
  std::vector<SourceId> sources;      // of the constants behind the sd
};

// Stored values of one grey frame, row by row; dark means much absorption (invert MONOCHROME1 before).
struct GreyFrame {
  std::span<const std::uint8_t> bytes;  // rows x columns values of bytes_per_value, little-endian
  int rows = 0, columns = 0;
  int bytes_per_value = 1;  // 1 or 2
};

// Value at column x, row y by bilinear interpolation; the nearest edge value outside.
double ValueAt(const GreyFrame& frame, double x, double y);

// `a` and `b` are clicks on the two edges of a catheter whose labelled outer diameter is `catheter` (4 to 10 French).
Result<PixelSize> PixelSizeAcross(PixelPoint a, PixelPoint b, Length catheter);

// `a` and `b` lie on the shaft, some catheter widths apart. The shaft's course between the clicks is followed, and the
// mean profile across it fitted as a rod, or as a tube where its bore shows (docs/methods-length.md).
// Errors: clicks closer than two widths, outside the picture, or no two edges found.
Result<PixelSize> PixelSizeAlong(const GreyFrame& frame, PixelPoint a, PixelPoint b, Length catheter);

// Adds a warning to `size` if another way of finding it differs by more than two of their standard deviations together.
void CompareSizes(PixelSize& size, const PixelSize& by_geometry);

// Length of the line through `points` (2 to 200), in the plane of the picture. One view cannot see how far the line
// leans out of the picture, so the true length is this or longer; the assumed lean is one named part of the sd.
struct MeasuredLength {
  Reading<Length> reading;
  std::vector<std::string> warnings;
};
Result<MeasuredLength> MeasureLength(std::span<const PixelPoint> points, const PixelSize& pixel);

}  // namespace fairlead
