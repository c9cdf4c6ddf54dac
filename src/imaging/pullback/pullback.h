// SPDX-License-Identifier: Apache-2.0
// A whole pullback read: borders, sections, wires, tissue between, spaces. Angles run clockwise on the picture from its
// right, distances are from the catheter's axis.
#pragma once

#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "imaging/pullback/border.h"
#include "imaging/pullback/section.h"
#include "imaging/pullback/space_range.h"
#include "imaging/pullback/wire.h"

namespace fairlead {

struct PullbackQuestion {
  PictureStack stack;
  std::optional<double> mm_per_frame;       // none: frames have an order, but no distances
  std::vector<BorderPoint> corrections;
  std::vector<WireClick> clicks;
};

struct PullbackReading {
  Borders borders;
  std::vector<PullbackSection> sections;
  PullbackSummary summary;
  Wires wires;
  std::vector<TissueReading> tissue;        // one a frame; empty without a second wire
  std::optional<int> thinnest;              // frame
  std::vector<SpaceRange> ranges;
  std::vector<std::string> remarks;         // whole sentences for the reader
};

// Errors: what ToPolar says; corrections outside the pullback; stopped.
Result<PullbackReading> ReadPullback(const PullbackQuestion& question, std::stop_token stop);

// Frames round the thinnest place along which the tissue is at most 0.2 mm thicker; both inclusive.
struct FrameSpan {
  int first = 0, last = 0;
};
FrameSpan ThinPart(const PullbackReading& reading, int thinnest);

}  // namespace fairlead
