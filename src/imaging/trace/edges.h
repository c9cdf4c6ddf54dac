// SPDX-License-Identifier: Apache-2.0
// Both edges of a vessel along its course. Across each place a round lumen under the picture's blur is fitted to the
// grey values: middle, radius, darkness and a straight background. So the blur is taken out by the model, and what the
// fit leaves over says how well the radius is known. All lengths in pixels.
#pragma once

#include <span>
#include <vector>

#include "imaging/trace/course.h"
#include "imaging/trace/picture.h"

namespace fairlead {

enum class SectionKind {
  kMeasured,
  kByHand,        // at least one edge was drawn by the reader
  kInterpolated,  // another shadow lies here: from where both edges are likeliest, not measured
  kNotSeen,       // no contrast stands out: occluded, or not filled
};

// What in a section speaks for another shadow in it, against the vessel as a whole.
struct SectionSigns {
  double misfit = 1.0;   // what the fit leaves over, against the vessel's median
  double trusted = 1.0;  // share of the samples that the fit did not put aside
  double noise = 0.0;    // what the fits leave over along the vessel, as a share of its depth
  double otherwise = 0.0;  // what the diameter would change by, if another of the lumens that may lie here were ours
};

struct CrossSection {
  PixelPoint on_course, normal;
  double middle = 0.0;         // from the course along the normal
  double radius = 0.0;
  double radius_sd = 0.0;      // from the fit and the blur
  double darkness = 0.0;       // of the model, grey values per pixel of chord
  double left = 0.0, right = 0.0;  // edges along the normal: right is positive
  SectionKind kind = SectionKind::kMeasured;
  SectionSigns signs{};
};

struct Edges {
  std::vector<CrossSection> sections;  // one a pixel of the course
  double blur = 1.0;                   // sd of the picture's blur
  double blur_sd = 0.25;
  double shared_radius_sd = 0.0;       // part of every section's radius_sd: all sections share one blur
  double usual_radius = 0.0;           // median along the chain of edges
  bool blur_assumed = false;           // the vessel did not show its blur
};

// A stroke of the brush: the reader says that the edge runs here. The side is the one on which the stroke lies.
using EdgeStroke = std::vector<PixelPoint>;

// `course` has points one pixel apart, eight at least. `expected_radius` is what the vesselness says, pixels. The vessel
// passes within about a pixel of the `clicks`.
Edges FindEdges(const Picture& picture, std::span<const PixelPoint> course, double expected_radius, std::span<const PixelPoint> clicks = {});

// Takes the drawn edges for the found ones where a stroke runs beside the course.
void DrawEdges(Edges& edges, std::span<const EdgeStroke> strokes);

// The middle between the edges, smooth: where the vessel's course truly is.
Course MiddleOf(const Edges& edges);

}  // namespace fairlead
