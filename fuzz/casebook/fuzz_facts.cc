// SPDX-License-Identifier: Apache-2.0
// Any bytes as a file of facts: never a crash, and what is accepted can be written and read back to as many facts.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "casebook/derive.h"
#include "casebook/fact_json.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace fairlead;
  const auto facts = ParseFacts({reinterpret_cast<const char*>(bytes), size});
  if (!facts) return 0;
  const auto again = ParseFacts(FactsFileJson(*facts));
  if (!again || again->size() != facts->size()) std::abort();
  const auto all = WithDerived(*facts);
  if (all.size() < facts->size()) std::abort();
  return Contradictions(all).size() > 1000 ? 1 : 0;
}
