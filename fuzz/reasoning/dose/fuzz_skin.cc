// SPDX-License-Identifier: Apache-2.0
// Any bytes as a file of events: never a crash, every number of the answer finite, and the events are written and read back.
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "reasoning/dose/skin_json.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace fairlead;
  auto file = ParseSkinFile({reinterpret_cast<const char*>(bytes), size});
  if (!file) return 0;
  if (!ParseSkinFile(EventsJson(file->events))) std::abort();
  if (file->events.size() > 4) file->events.resize(4);
  const SkinEstimate made = EstimateSkin(file->events, file->settings, 1);
  if (!std::isfinite(made.peak.gray + made.low + made.high) || made.low > made.high) std::abort();
  return EstimateJson(made, file->events).empty() ? 1 : 0;
}
