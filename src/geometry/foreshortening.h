// SPDX-License-Identifier: Apache-2.0
// How much of a segment's length a view hides, and from where none of it is hidden.
#pragma once

#include <span>

#include "geometry/view.h"

namespace fairlead {

// Share of the length that is lost, 0 (seen in full) to 1 (seen end-on). The first form uses the central beam and
// serves to rank views; the second uses the ray through the segment's middle and is the number to show. A segment of no
// length loses nothing.
double ForeshorteningAlongBeam(const View& view, Vec3 a, Vec3 b);
double Foreshortening(const View& view, Vec3 a, Vec3 b);

// Of a curved course: the visible lengths of its pieces, each by the ray through its middle.
double Foreshortening(const View& view, std::span<const Vec3> course);

// The secondary angle, in (-90, 90] degrees, at which a segment is seen in full for a given primary angle. Where the
// segment is perpendicular to every beam of that primary angle the answer is 0.
Angle SecondaryOfNoForeshortening(Angle primary, Vec3 direction);

}  // namespace fairlead
