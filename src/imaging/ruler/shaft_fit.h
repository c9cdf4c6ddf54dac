// SPDX-License-Identifier: Apache-2.0
// The width of a catheter from the mean profile across its shaft. Inside this room only.
#pragma once

#include <limits>
#include <vector>

namespace fairlead {

// Mean values across the shaft: one a pixel from -reach to +reach.
struct ShaftProfile {
  std::vector<double> values;
  int reach = 0;
};

// What the shaft is made of: its bore as a share of the radius, and how dense what fills it is against the wall.
// 0 is a bore that darkens no more than what lies beside the catheter (saline, blood); 1 is a solid rod.
struct ShaftShape {
  double bore = 0.0;
  double filling = 1.0;
};

struct ShaftFit {
  ShaftShape shape;
  double radius = 0.0, centre = 0.0, blur = 1.0;           // pixels
  double cost = std::numeric_limits<double>::infinity();  // mean squared residual
  double depth = 0.0;                                      // largest darkening by the shaft
};

// A straight background minus one shape of shaft, blurred by a Gaussian; radius, centre and blur are searched from
// `start`, the amplitudes solved for.
ShaftFit RefineShaft(const ShaftProfile& profile, ShaftFit start);

// Over all shapes. The radius is the mean over the shapes weighed by how well each fits, `radius_sd` what not knowing
// the shape costs; `best` is the fit of the likeliest.
struct ShaftWidth {
  double radius = 0.0, radius_sd = 0.0;
  ShaftFit best;
};
ShaftWidth FitShaft(const ShaftProfile& profile);

}  // namespace fairlead
