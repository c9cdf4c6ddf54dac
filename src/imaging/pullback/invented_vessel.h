// SPDX-License-Identifier: Apache-2.0
// The invented vessel's shape at a place, and the tissue along each ray.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "imaging/pullback/invented.h"

namespace fairlead {

inline constexpr double kCatheterRadius = 0.5;  // mm: 3 French
inline constexpr double kMediaThickness = 0.15; // mm, chosen
inline constexpr double kIntimaEdge = 0.06;     // mm, chosen

// Smooth along the vessel: a few sines.
struct Wave {
  std::array<double, 3> size{}, per_mm{}, phase{};
  double At(double z) const;
};

struct CalciumPlate {
  double from_z = 0.0, to_z = 0.0, middle_deg = 0.0, half_deg = 0.0;
  double depth = 0.3;                           // share of the way from lumen to media
};

struct InventedVessel {
  bool narrow = false;                          // a channel in plaque instead of an open lumen
  double outside_from = 1e9;                    // mm along the vessel from which the catheter lies outside
  double lumen_to = -1e9;                       // mm along the vessel up to which the catheter lies in the true lumen
  double lumen_bare = -9.0, plaque_bare = 1.0;  // of the patches below: where they are less, the border has no lining
  Wave patch_two, patch_three, patch_five;      // quarter turns of what has two, three and five patches in a ring
  double branch_at = 1e9, branch_half = 0.5;    // mm along the vessel: the middle of a branch's mouth, half its length
  double branch_deg = 0.0, branch_radius = 0.5; // where it leaves; mm
  int far = 0;                                  // far wire: 0 none, 1 in plaque, 2 outside
  double radius = 1.8, flatness = 0.08;         // of the media's ring
  Wave size, shift_x, shift_y, turn, lumen_size, lumen_x, lumen_y, ripple, crescent, far_angle, far_depth;
  std::vector<CalciumPlate> calcium;
  double stent_from = 1e9, stent_to = -1e9;     // mm along the vessel
  int struts = 10;                              // in a cross-section
  double least = 0.8;                           // of the lumen's radius in the stent's middle, against its ends
  std::array<double, 12> strut_shift{};         // degrees off even spacing
  double strut_turn = 0.0;                      // degrees a millimetre
};

Result<InventedVessel> MakeVessel(const PullbackOrder& order);

// The shape at a place; wires are filled in too, the guidewire at `guidewire_deg`.
SectionTruth SectionAt(const InventedVessel& vessel, double z, double guidewire_deg);

// For each ray of a catheter outside: where it enters and leaves the vessel's media ring; 0, 0 where it does not.
struct RayCrossing {
  double enter = 0, leave = 0;
};
std::array<RayCrossing, kRays> CrossingsAt(const InventedVessel& vessel, double z);

}  // namespace fairlead
