// SPDX-License-Identifier: Apache-2.0
// What a reader must know of a trace before its numbers are used: one sentence each.
#pragma once

#include <span>

#include "imaging/trace/path.h"
#include "imaging/trace/picture.h"
#include "imaging/trace/trace.h"

namespace fairlead {

// A trace of which more than this share is not measured may follow no vessel: chosen.
inline constexpr double kMostUnmeasured = 0.33;

// Pixels of the path that run back over an earlier part of it, as when points are out of order. `radius` of the vessel, pixels.
double RunsBackPx(std::span<const Pixel> path, double radius);

// Appends to trace.warnings. Needs the points and the lengths of the trace. `followed`: enough of it was measured to give
// diameters.
void AddWarnings(VesselTrace& trace, const Picture& picture, bool followed);

}  // namespace fairlead
