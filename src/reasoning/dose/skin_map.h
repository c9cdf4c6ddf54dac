// SPDX-License-Identifier: Apache-2.0
// Dose in the skin: at a place, over the whole body, and its peak.
//
//   D = K (d_ref / r)^2 B(side) T(angle) f      where the field falls on skin that faces the source and nothing of the
//                                               body lies before it; T = 1 where the ray misses the table
//
// K air kerma at the reference point, r distance to the source, B backscatter at the field's side there, T forward
// scatter times transmission to the power of one over the cosine at the table. The heel effect, wedge filters and the
// half shadow of the field's edge are left out.
#pragma once

#include <span>
#include <vector>

#include "reasoning/dose/beam.h"

namespace fairlead {

// Gy from one beam at a place of the skin of one part of the body (0 the trunk, then the arms); 0 outside the beam.
double DoseAt(const Beam& beam, const Body& body, std::size_t part, const SkinPlace& place);

// Where the central ray meets the body first; empty if it misses.
struct BeamEntry {
  std::size_t part = 0;
  SkinPlace place;
  double distance = 0.0;  // mm from the source
  double side = 0.0;      // mm, of the square field there
};
std::optional<BeamEntry> EntryOf(const Beam& beam, const Body& body);

struct SkinMap {
  Skin skin;
  std::vector<std::vector<double>> dose;  // Gy; by part, then row by row along the body
};
// `threads` 1 or 2; the answer does not depend on it.
SkinMap MapOf(std::span<const Beam> beams, const Body& body, const Skin& skin, int threads = 2);

struct Share {
  std::size_t event = 0;
  double gray = 0.0;
};
struct SkinPeak {
  double gray = 0.0;
  std::size_t part = 0;
  SkinPlace place;
  std::vector<Share> by;  // the events that reach it, most first
};
double HighestOf(const SkinMap& map);  // Gy, of its own places

// The highest dose of the skin, sought between the places of the map as well, to 1 mm.
SkinPeak PeakOf(std::span<const Beam> beams, const Body& body, const SkinMap& map);

// The shares of each event at a place, most first; none below a millionth of the whole.
std::vector<Share> SharesAt(std::span<const Beam> beams, const Body& body, std::size_t part, const SkinPlace& place);

// The dose of the map at the place nearest to where a beam enters; 0 if it misses.
double ExposedAt(const SkinMap& map, const BeamEntry& entry);

}  // namespace fairlead
