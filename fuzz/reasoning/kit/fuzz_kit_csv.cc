// SPDX-License-Identifier: Apache-2.0
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "reasoning/kit/import.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto import = fairlead::ImportShelf(std::string_view(reinterpret_cast<const char*>(data), size));
  // Every line is taken or refused, and told.
  if (import.ok() && import->taken + import->refused != import->lines) std::abort();
  return 0;
}
