// SPDX-License-Identifier: Apache-2.0
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "reasoning/kit/label.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const fairlead::CalendarDay today{2026, 11, 25};
  const auto label = fairlead::ParseLabel(std::string_view(reinterpret_cast<const char*>(data), size), today);
  if (!label.ok()) return 0;
  // What was taken can be written and read again, with the same meaning.
  const auto again = fairlead::ParseLabel(fairlead::HumanReadable(*label), today);
  if (again.ok() && (again->gtin != label->gtin || again->expires != label->expires)) std::abort();
  return 0;
}
