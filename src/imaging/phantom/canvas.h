// SPDX-License-Identifier: Apache-2.0
// A picture of attenuation (line integrals, without unit) into which tubes are drawn.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace fairlead {

// A cross-section of a tube as projected: place and radius in pixels, and what a ray through its middle loses.
struct TubePoint {
  float x = 0, y = 0;      // column, row
  float radius = 0;        // pixels
  float middle = 0;        // attenuation along the diameter
};

class Canvas {
 public:
  Canvas(int rows, int columns);
  void Clear();
  std::span<const float> sums() const { return sums_; }

  // A run of cross-sections as one body: where its pieces overlap the larger counts, so that joints do not darken. Ends
  // are cut flat where told so, else rounded. A weight of -1 takes away what the tube attenuates: a bore in a wall.
  void DrawTube(std::span<const TubePoint> points, bool flat_start, bool flat_end, float weight = 1.0f);

 private:
  // A flat end: nothing is drawn on the side to which (dx, dy) points.
  struct Cut {
    float x = 0, y = 0, dx = 0, dy = 0;
  };
  void DrawPiece(const TubePoint& a, const TubePoint& b, std::span<const Cut> cuts);
  void AddTube(float weight);

  int rows_, columns_;
  std::vector<float> sums_, tube_;
  int left_ = 0, right_ = -1, top_ = 0, bottom_ = -1;  // of what `tube_` holds, inclusive
};

}  // namespace fairlead
