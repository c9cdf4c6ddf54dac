// SPDX-License-Identifier: Apache-2.0
// How bright blood, plaque, media and adventitia are in a pullback, learnt from its own borders, and by how much the bright
// side of an edge spills over the dark one.
#pragma once

#include <vector>

#include "imaging/pullback/border.h"

namespace fairlead {

inline constexpr float kFlicker = 1.5f;          // grey levels that a level of change from frame to frame counts for

// Before any border is known: dark against bright, percentiles of all greys from sample `first` on.
GreyLevels FirstLevels(const Polar& polar, const std::vector<bool>& too_bright, int first);

// Between the borders as they stand. `by_seen`: rays that are hidden are left out. `media`: samples of the dark band.
struct LevelsFound {
  GreyLevels levels;
  float blood_still = 0.0f;                      // what blood is worth where it is still
};
LevelsFound LevelsBetween(const Polar& polar, const Borders& borders, const LevelsFound& before, int first, int media, bool by_seen);

// mm by which the lumen's border lies too near. In a logarithmic picture the bright side of an edge spills over the dark
// side. The spread of the pulse is read off the speckle itself: how far along a ray it stays alike, and how much it varies
// (5.57 dB for full speckle), which also tells decibels from grey levels. 0: there is no speckle to read.
double SpillOf(const Polar& polar, const Borders& borders);

// The value below which `share` of `values` lie; 0 of none.
double ShareBelow(std::vector<float> values, double share);

}  // namespace fairlead
