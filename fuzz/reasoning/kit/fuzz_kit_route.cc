// SPDX-License-Identifier: Apache-2.0
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "reasoning/kit/kit_json.h"
#include "reasoning/kit/route_json.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const auto question = fairlead::RouteFromJson(text, fairlead::InventedShelf());
  if (question.ok()) (void)fairlead::ReachJson(*question);
  (void)fairlead::ShelfFromJson(text);
  (void)fairlead::FitQuestionFromJson(text);
  return 0;
}
