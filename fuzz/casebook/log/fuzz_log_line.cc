// SPDX-License-Identifier: Apache-2.0
// Any bytes: never a crash; what is accepted and printed is read back to the same entry; completion never dies.
#include <cstdint>
#include <cstdlib>

#include "casebook/entry_json.h"
#include "casebook/log/log_line.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace fairlead;
  const std::string_view text(reinterpret_cast<const char*>(bytes), size);
  const LogRoom room{{1'800'000'000'000}, Duration::Minutes(60), 1.0, 1.0};
  CompleteLogLine(text, {"w1", "m1"});
  const auto line = ParseLogLine(text, room);
  if (!line) return 0;
  const auto* event = std::get_if<RunEvent>(&line->data);
  if (event == nullptr) return 0;
  const auto again = ParseLogLine(LogText(*event), room);
  if (!again || std::get<RunEvent>(again->data) != *event) std::abort();
  return 0;
}
