// SPDX-License-Identifier: Apache-2.0
// From data elements to what a run is: each part fills its own members of Run and says in remarks what it found wrong.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "imaging/dicom/elements.h"
#include "imaging/dicom/read.h"
#include "imaging/dicom/run.h"
#include "measure/result.h"

namespace fairlead {

// Colours of a PALETTE COLOR picture, 8 bit a channel.
struct Palette {
  int first = 0;  // stored value of the first entry
  std::array<std::vector<std::uint8_t>, 3> channels;
};

// How the file stores a pixel.
struct PixelLayout {
  int samples = 1;
  int allocated = 8, stored = 8, high_bit = 7;
  bool planar = false;  // all red, then all green, then all blue
  std::string photometric;
  std::optional<Palette> palette;
};

struct Header {
  Run run;
  PixelLayout layout;
};

// Everything of the header. Errors: a kind, depth or size that is not read.
Result<Header> HeaderFrom(const DicomFile& file, const ReadLimits& limits);

// The item of the functional group `sequence` that holds for `frame`: its own before the shared one (PS3.3 C.7.6.16).
const Item* GroupItem(const Item& dataset, Tag sequence, int frame);

// The parts, in the order in which HeaderFrom calls them.
void FillTiming(const Item& dataset, Run& run);
void FillView(const Item& dataset, Run& run);
void FillSpacing(const Item& dataset, Run& run);  // SID, SOD, detector spacing, size of a pixel at the isocentre
void FillGreys(const Item& dataset, Run& run);    // window from the file, if it has one; shutter
void FillUltrasound(const Item& dataset, Run& run);  // size of a pixel, speed of the pullback
Result<Palette> PaletteFrom(const Item& dataset);

// A number for a sentence: at most `digits` after the point, no trailing zeros.
std::string Plain(double value, int digits = 2);

}  // namespace fairlead
