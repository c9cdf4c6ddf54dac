// SPDX-License-Identifier: Apache-2.0
// The vessels among which a view is sought: tubes in the patient's axes, and the segment that is to be seen.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/vector.h"
#include "measure/result.h"

namespace fairlead {

struct Tube {
  std::string name;
  std::vector<Vec3> course;     // mm
  std::vector<double> radius;   // mm, one a point
};

struct VesselTree {
  std::vector<Tube> vessels;
  std::vector<Vec3> target;           // the segment to be seen
  std::vector<double> target_radius;  // one a point
  std::string target_name;            // "LAD, 20 to 36 mm"
  std::vector<Vec3> collateral;       // its course; empty if none is known
  std::string collateral_name;
  bool measured = false;              // else the labelled model, or drawn by hand: marked wherever it is shown
};

// Points of the target and of its neighbours as the maps use them. Left out of the neighbours: the target itself and its
// own continuation within 5 mm, and of every branch that touches the target the first 5 mm: no view parts those.
struct Ball {
  Vec3 at;
  double radius = 0.0;
};
struct TreeBalls {
  std::vector<Ball> target;      // evenly along it: at most 80
  std::vector<Ball> neighbours;  // at most 1 mm apart
  std::vector<std::string> considered;  // names of the vessels that gave neighbours
};
TreeBalls BallsOf(const VesselTree& tree);

double LengthOf(const std::vector<Vec3>& course);

// An invented right-dominant heart with the usual vessels, for when nothing is measured. The target is the share
// [from, to] of the vessel's length; the collateral is the usual one into that vessel. Errors: no such vessel; shares that are no range.
Result<VesselTree> ModelTree(std::string_view vessel, double from, double to);
std::vector<std::string> ModelVessels();

// A file (docs/methods-views.md). Errors: not JSON; larger than 8 MiB, more than 50,000 points, deeper than 8; a target
// that names no vessel or has no length; a coordinate that is none or more than 500 mm from the isocentre.
Result<VesselTree> ParseTree(std::string_view json);

}  // namespace fairlead
