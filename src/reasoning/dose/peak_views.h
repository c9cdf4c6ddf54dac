// SPDX-License-Identifier: Apache-2.0
// Which views made the peak. A report has an event for each press of the pedal: what counts is the view, over all of them.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "casebook/irradiation.h"
#include "reasoning/dose/skin_map.h"

namespace fairlead {

struct PeakByView {
  GantryAngles angles;      // of the event of the view that gave most
  double gray = 0.0;        // at the peak, of all events whose beams lie within 5 degrees of it
  std::size_t events = 0;
};

// Most first; at most `most` views. Every event that reaches the peak counts in one view alone.
std::vector<PeakByView> PeakByViews(const SkinPeak& peak, std::span<const IrradiationEvent> events, std::size_t most = 12);

}  // namespace fairlead
