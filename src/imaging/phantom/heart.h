// SPDX-License-Identifier: Apache-2.0
// The heart on which the arteries lie: half an ellipsoid whose long axis points to the left, forward and down. A place
// on it is given by latitude (0 at the base, 90 at the apex) and longitude (0 in front, + to the left, degrees).
#pragma once

#include <vector>

#include "imaging/phantom/random.h"
#include "imaging/phantom/scene.h"

namespace fairlead {

struct Heart {
  double half_length = 50.0;  // base to apex, mm; chosen
  double half_width = 36.0;   // at the base, mm; chosen
  double turn = 0.0;          // added to every longitude, degrees
  Vec3 centre;                // of the base
};

struct WallPlace {
  double latitude = 0.0, longitude = 0.0;  // degrees
  double reach = 1.0;                      // 1 on the wall, 0 on the long axis, -1 on the wall across
  double lift = 0.0;                       // further outwards, mm
};

Vec3 LongAxis();
Node OnHeart(const Heart& heart, const WallPlace& place);

// Nodes 0.7 mm apart or less through the places, by a smooth curve through each; the radius falls evenly.
std::vector<Node> Course(const Heart& heart, const std::vector<WallPlace>& places, double radius, double radius_end);

// Adds small sideways waves, none at the two ends.
void Wind(std::vector<Node>& nodes, double amplitude, double wavelength, double phase);

// The node nearest to a share of the length.
std::size_t NodeAtShare(const std::vector<Node>& nodes, double share);
std::size_t NodeAfter(const std::vector<Node>& nodes, std::size_t start, double mm);

}  // namespace fairlead
