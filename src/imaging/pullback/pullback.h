// SPDX-License-Identifier: Apache-2.0
// A whole pullback read: borders, sections, wires, tissue between, spaces. Angles run clockwise on the picture from its
// right, distances are from the catheter's axis.
#pragma once

#include <atomic>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "imaging/pullback/border.h"
#include "imaging/pullback/gate.h"
#include "imaging/pullback/section.h"
#include "imaging/pullback/space_range.h"
#include "imaging/pullback/stent.h"
#include "imaging/pullback/wire.h"

namespace fairlead {

struct PullbackQuestion {
  PictureStack stack;
  std::optional<double> mm_per_frame;       // none: frames have an order, but no distances
  std::vector<BorderPoint> corrections;
  std::vector<WireClick> clicks;
  std::vector<StentPoint> stent_points;
  double frame_ms = 0.0;                    // from frame to frame; 0: not known, the heart is not looked for
  std::atomic<float>* share = nullptr;      // of the work that is done, 0 to 1; written while it runs
};

struct PullbackReading {
  Borders borders;
  std::vector<PullbackSection> sections;
  PullbackSummary summary;
  Wires wires;
  std::vector<TissueReading> tissue;        // one a frame; empty without a second wire
  std::optional<int> thinnest;              // frame
  std::vector<SpaceRange> ranges;
  std::optional<StentReading> stent;        // none: none is seen
  std::optional<HeartGate> gate;            // none: the heart's beat does not stand out
  std::vector<std::string> remarks;         // whole sentences for the reader
};

// What rests on the pictures and their scale alone, and not on a person's points: made once, so that a point costs the
// frames that it can change. `polar` is some 33 kB a frame.
struct PullbackStudy {
  Polar polar;
  Borders borders;
  std::vector<PullbackSection> sections;    // without places along the pullback
  WireScores scores;
  std::vector<WireScore> struts;
  std::optional<HeartGate> gate;
};
// Errors: a point or click outside the pullback.
Status CheckPullbackMarks(const PullbackQuestion& question);
// `corrections` and `clicks` of the question are not looked at. Errors: what ToPolar says; stopped.
Result<PullbackStudy> StudyPullback(const PullbackQuestion& question, std::stop_token stop);
// Errors: marks outside the pullback; stopped.
Result<PullbackReading> ReadStudied(const PullbackStudy& study, const PullbackQuestion& question, std::stop_token stop);

// Both together.
Result<PullbackReading> ReadPullback(const PullbackQuestion& question, std::stop_token stop);
// Frames in which two readings of one pullback differ in anything that is measured in them.
std::vector<int> FramesThatDiffer(const PullbackReading& a, const PullbackReading& b);

// Frames round the thinnest place along which the tissue is at most 0.2 mm thicker; both inclusive.
struct FrameSpan {
  int first = 0, last = 0;
};
FrameSpan ThinPart(const PullbackReading& reading, int thinnest);

}  // namespace fairlead
