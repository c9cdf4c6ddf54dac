// SPDX-License-Identifier: Apache-2.0
// A picture of the report: a frame or a drawing with lines and words over it, the same for paper, for HTML and for the page.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "casebook/entry.h"
#include "record/picture/raster.h"

namespace fairlead {

struct InkColour {
  std::uint8_t red = 0, green = 0, blue = 0;
};

struct PictureShape {
  std::vector<PixelPoint> points;   // 2 or more, in units of the picture; 0, 0 is its upper left corner
  InkColour colour;
  double width = 0.0;               // of the line; 0: filled
  bool closed = false;
  bool halo = false;                // black beneath, so that it is seen on any grey
};

struct PictureWords {
  PixelPoint at;                    // left end of the line that the letters stand on
  std::string text;
  double size = 10.0;
  InkColour colour;
  bool halo = false;
};

struct KeyPicture {
  std::string entry;                // id of the note that chose it
  std::string title;                // "run 3, frame 12 of 60"
  std::string caption, by;          // words of whoever chose it
  std::vector<std::string> marks;   // "1: Occlusion length, angiogram: 19.2 ± 1.4 mm (measured)"
  std::vector<std::string> seen;    // from files and pixels, not from the journal: no part of what is signed
  std::string image;                // hash of the run's file; empty for a drawing
  int frame = -1;                   // 0-based
  double width = 0.0, height = 0.0; // of the picture, in its own unit: pixels of the frame
  bool wide = false;                // as wide as the paper
  std::vector<PictureShape> shapes;
  std::vector<PictureWords> words;
  std::shared_ptr<const Raster> raster;  // covers the whole picture; null for a drawing, and before it is fetched
  std::string missing;              // why there is nothing to see
};

}  // namespace fairlead
