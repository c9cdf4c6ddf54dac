// SPDX-License-Identifier: Apache-2.0
// How sure a diameter is: what the picture itself shows for and against it, and the standard deviation that follows. Pixels.
#pragma once

#include <span>
#include <vector>

#include "imaging/trace/course.h"
#include "imaging/trace/edges.h"
#include "imaging/trace/vesselness.h"

namespace fairlead {

// What the picture shows about one place of a traced vessel. All of it is measured there.
struct PlaceSigns {
  double wide = 0.0;     // diameter
  double fit = 0.0;      // sd of the diameter by the fit: what it leaves over, and the blur's sd
  double rough = 0.0;    // scatter of the diameters on either side about a straight line
  double beside = 0.0;   // of the middle, from the course
  double aside = 0.0;    // share of the samples that the fit put aside
  double misfit = 1.0;   // what the fit leaves over, against the vessel's median
  double darker = 0.0;   // logarithm of the darkness a pixel of chord, against what is usual round about
  double excess = 0.0;   // by what it is wider than round about
  double crest = 0.0;    // the strongest other crest of the vesselness within two diameters, as a share of the vessel's own
  double noise = 0.0;    // what the fits leave over along the vessel, as a share of its depth
  double otherwise = 0.0;  // what the diameter would change by, if another of the lumens that may lie here were ours
  bool by_hand = false;
};

// One a section; `centre` is the vessel's middle at each.
std::vector<PlaceSigns> SignsOf(const Edges& edges, std::span<const PixelPoint> centre, const Vesselness& vesselness);

// From 0, where the vessel lies alone as far as its noise lets tell, to 1, where other shadows lie near it.
double Crowded(const PlaceSigns& signs);

// Standard deviation of the diameter, without that of the size of a pixel. Above 0. docs/methods-trace.md says what from.
double DiameterSd(const PlaceSigns& signs);

}  // namespace fairlead
