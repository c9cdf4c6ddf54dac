// SPDX-License-Identifier: Apache-2.0
// Files of events (docs/methods-skin.md) in, an estimate out. No JSON library here: text in, text out.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "reasoning/dose/estimate.h"

namespace fairlead {

struct SkinFile {
  std::vector<IrradiationEvent> events;
  BeamSettings settings;
  std::vector<std::string> remarks;  // members that are not known and were left out
};

// {"body", "table", "calibration", "events": [...]} or a list of events. Errors: not JSON; more than 16 MiB, 100,000
// events, 8 levels; a number that is none or outside what can be; an event that is no object; no events.
Result<SkinFile> ParseSkinFile(std::string_view text);

// What a report states as totals, beside the sums of its events; 0 where it states none.
struct StatedTotals {
  double kerma = 0.0, summed_kerma = 0.0;                // Gy
  double area_product = 0.0, summed_area_product = 0.0;  // Gy cm2
  double fluoroscopy_minutes = 0.0;
};

// {"peak_gy", "low_gy", "high_gy", "at", "by", ...}.
std::string EstimateJson(const SkinEstimate& made, std::span<const IrradiationEvent> events, const std::vector<std::string>& remarks = {},
                         const std::optional<StatedTotals>& stated = std::nullopt);

// The events as a file that ParseSkinFile reads back.
std::string EventsJson(std::span<const IrradiationEvent> events);

// The map for the page: each part's places round and along, and its doses in mGy, row by row; and beams with corners.
std::string SkinMapJson(const SkinEstimate& made, std::span<const IrradiationEvent> events);

}  // namespace fairlead
