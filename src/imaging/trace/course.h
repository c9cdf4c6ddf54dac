// SPDX-License-Identifier: Apache-2.0
// A vessel's course in the picture, finer than a pixel: from the path on the grid to a smooth line along the ridge.
#pragma once

#include <span>
#include <vector>

#include "casebook/entry.h"
#include "imaging/trace/path.h"
#include "imaging/trace/vesselness.h"

namespace fairlead {

using Course = std::vector<PixelPoint>;

double LengthPx(std::span<const PixelPoint> course);

// Points as near to `spacing` apart as a whole number of equal steps allows, ends kept. Two points at least; a course of
// no length gives one.
Course Evenly(std::span<const PixelPoint> course, double spacing);

// Unit normals, to the right of one who walks along the course on the screen.
std::vector<PixelPoint> Normals(std::span<const PixelPoint> course);

// Minimises sum w (y - z)^2 + (cutoff / 2 pi)^4 sum (second difference of z)^2: waves longer than `cutoff` samples are
// kept, shorter ones fade. A straight line passes unchanged. (Whittaker smoothing, Anal Chem 2003;75:3631-3636,
// doi 10.1021/ac034173t.) Weights are 0 or more with two above 0.
std::vector<double> Smoothed(std::span<const double> values, std::span<const double> weights, double cutoff);

// The line along the ridge near a path: smoothed, moved across to the strongest place within 2.5 pixels, smoothed again.
// One point a pixel.
Course AlongRidge(const Vesselness& vesselness, std::span<const Pixel> path);

}  // namespace fairlead
