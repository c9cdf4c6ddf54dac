// SPDX-License-Identifier: Apache-2.0
// Any bytes as a tree or a gantry's record: never a crash; what is read can be asked for advice.
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "reasoning/views/views_json.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace fairlead;
  const std::string_view text(reinterpret_cast<const char*>(bytes), size);
  ViewQuestion question;
  if (auto gantry = GantryFromJson(text)) question.gantry = *gantry;
  auto tree = ParseTree(text);
  if (!tree) return 0;
  if (tree->target.size() > 200) return 0;
  question.tree = *tree;
  question.grid = {-60, -30, 15, 9, 5};
  const ViewAdvice advice = Advise(question, 1);
  for (const WorkingView& view : advice.best) {
    if (!std::isfinite(view.foreshortening + view.overlap + view.rate)) std::abort();
  }
  return AdviceJson(question, advice, std::nullopt, true).empty() ? 1 : 0;
}
