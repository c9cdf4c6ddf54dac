// SPDX-License-Identifier: Apache-2.0
// Where a trace should be helped by one more click: where another route along vessels costs nearly as much, or where
// over a long stretch the edges are in doubt because another shadow lies there. A trace that asks is drawn and measured all the same.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "imaging/trace/path.h"

namespace fairlead {

struct NextClick {
  PixelPoint at;                    // on the course that was taken: click the vessel about here
  bool two_routes = false;          // otherwise a corner, or edges in doubt
  double dearer = 1.0;              // two routes: what the second costs, of the first, between where they part and meet
  std::vector<PixelPoint> second{}; // two routes: the second one, from where they part to where they meet
  double doubted_px = 0.0;          // in doubt: over this length
};

// A route beside the one taken, between two stops, that leaves it by more than twice the `radius` and costs at most
// kAlike of it. `path` is SmoothestPath through `stops`. The dearest doubt is the one with the least `dearer`.
std::optional<NextClick> SecondRoute(const CostMap& cost, std::span<const Pixel> stops, std::span<const Pixel> path, double radius);

// The middle of the longest piece between two stops in which the path turns by 60 degrees and more within 20 pixels: it may
// have gone over to another vessel.
std::optional<NextClick> SharpCorner(std::span<const Pixel> path, std::span<const Pixel> stops);

// The longest stretch that is in doubt, away from every click. One place a pixel.
std::optional<NextClick> DoubtedStretch(const std::vector<bool>& doubted, std::span<const PixelPoint> centre, std::span<const PixelPoint> clicks);

// One sentence for the reader.
std::string AskSentence(const NextClick& ask, std::optional<double> mm_per_px);

}  // namespace fairlead
