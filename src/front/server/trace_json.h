// SPDX-License-Identifier: Apache-2.0
// A traced vessel as JSON: what `xa trace --json` prints and what the page draws.
#pragma once

#include <string>

#include "front/server/json_text.h"
#include "imaging/trace/trace.h"

namespace fairlead {

// {"value", "sd"} of two numbers in one unit.
void WriteReading(JsonText& json, double value, double sd);

// All of docs/wire.md, "a trace". Places in pixels to 0.01.
std::string TraceJson(const VesselTrace& trace, const std::string& image, int frame);

// "measured", "by hand", "interpolated", "not seen".
std::string_view SectionKindName(SectionKind kind);

}  // namespace fairlead
