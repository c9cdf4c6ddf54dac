// SPDX-License-Identifier: Apache-2.0
// A vessel traced through two or more clicks: its course, both edges, the diameter at each place, its narrowest place
// against the healthy vessel, and its length, each with its standard deviation and what that is made of.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "imaging/ruler/ruler.h"
#include "imaging/trace/edges.h"
#include "imaging/trace/ends.h"
#include "imaging/trace/next_click.h"
#include "imaging/trace/picture.h"
#include "imaging/trace/profile.h"
#include "imaging/trace/vesselness.h"

namespace fairlead {

// Named in every measurement: a change of the method changes the number.
inline constexpr const char* kTraceMethod = "trace 6";

struct TraceRequest {
  std::vector<PixelPoint> through;         // 2 to 40 clicks along the vessel, inside the picture
  std::optional<PixelSize> pixel;          // none: all lengths stay in pixels
  std::vector<EdgeStroke> brush;           // edges drawn by the reader
  std::vector<HealthyStretch> healthy;     // stretches the reader holds for healthy; needs `pixel`
  bool snap = true;                        // clicks go to the strongest ridge within 6 pixels
};

struct TracedPoint {
  PixelPoint centre, left, right;          // right and left of one who walks along the vessel on the screen
  double along_px = 0.0;
  double diameter_px = 0.0, sd_px = 0.0;   // sd without the size of a pixel (docs/methods-trace.md)
  SectionKind kind = SectionKind::kMeasured;
};

struct VesselTrace {
  std::vector<PixelPoint> through;         // where the clicks went
  std::vector<TracedPoint> points;         // one a pixel
  double length_px = 0.0, length_sd_px = 0.0;
  double blur_px = 0.0;
  bool blur_assumed = false;
  double shared_sd_px = 0.0;               // part of every diameter's sd: one blur for all
  double not_seen_px = 0.0;                // of the length: no contrast stands out
  double interpolated_px = 0.0;            // of the length: another shadow lies there
  double runs_back_px = 0.0;               // of the length: it runs back over itself
  BesideVessel beside;                     // of the length: from clicks beside the vessel onto it; no narrowing is looked for there
  std::optional<PixelSize> pixel;
  std::optional<MeasuredLength> length;    // with `pixel`
  std::optional<Narrowing> narrowing;      // with `pixel`; none where too little is seen
  std::optional<Reading<Length>> mean;     // mean diameter of what was measured
  std::optional<NextClick> ask;            // one more click would make it surer: where
  std::vector<std::string> warnings;
};

// Errors: a picture smaller than 16 x 16 or of one grey, fewer than 2 or more than 40 clicks, a click without a place or outside the picture, clicks that lie on each
// other, a pixel size that is none.
Result<VesselTrace> TraceVessel(const Picture& picture, const Vesselness& vesselness, const TraceRequest& request);

// The same with both of a diameter's errors, the image's and the scale's. Needs trace.pixel.
Reading<Length> DiameterAt(const VesselTrace& trace, std::size_t point);

}  // namespace fairlead
