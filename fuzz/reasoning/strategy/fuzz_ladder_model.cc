// SPDX-License-Identifier: Apache-2.0
// Any bytes as a model: never a crash, and what is accepted passes its own check.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "reasoning/strategy/model_json.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace fairlead;
  const auto model = ParseLadderModel({reinterpret_cast<const char*>(bytes), size});
  if (model.ok() && !Check(*model).ok()) std::abort();
  return 0;
}
