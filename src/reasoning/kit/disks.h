// SPDX-License-Identifier: Apache-2.0
// The parts of the packing, on plain millimetres: exact bounds, a search for placements, a proof that there is none.
// Only the room's own files include this header.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace fairlead::disks {

struct Disk {
  double x = 0.0, y = 0.0, r = 0.0;
};

struct Placement {
  double radius = 0.0;        // of the container; encloses every disk, by computation from the disks themselves
  std::vector<Disk> disks;    // largest first
  double proved = 0.0;        // no container of that radius holds them; 0: not tried, or not proved
  std::vector<double> weight; // change of `radius` per change of each disk's radius, to first order; empty if not known
};

double Soddy(double a, double b, double c);             // radius around three mutually touching circles
double Gap(double a, double b);                         // free circle beside two that fill their container
double LowerRadius(std::span<const double> radii);      // radii: largest first

// One, two or three disks, exactly.
Placement PlaceFew(std::span<const double> radii);

// Sets the remaining disks, largest first, each against two others or against one and the wall; nothing placed moves.
// `low` prefers the lowest free spot (shafts resting), else the first one found.
std::optional<std::vector<Disk>> Complete(std::vector<Disk> placed, std::span<const double> rest, double radius, bool low);

// Local minima of the container from seeded starts and from swaps in the best one; the best of them. Stops early at
// `enough`. Augmented Lagrangian over limited-memory BFGS; overlaps left by rounding are scaled away at the end.
Placement Search(std::span<const double> radii, double enough, int starts);

// True if no placement exists in a container of that radius: branch and bound over the distances of the disks from the
// centre; within a box of distances, each pair keeps a least angle apart, and no order around the centre closes.
// `boxes` bounds the work. Slack of 1e-9 rad keeps rounding on the safe side.
bool ProvedEmpty(std::span<const double> radii, double radius, int boxes);

}  // namespace fairlead::disks
